"""Landed cost by pure arithmetic: nothing lost, whatever the amounts. Shares by value are common practice."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.orders.landed import landed_lines, usual_carriage
from parts.orders.sharing import allot, open_wants, resized
from parts.workshop.money import rounded

cents = st.decimals(min_value=0, max_value=5000, places=2)
pieces = st.integers(min_value=0, max_value=50).map(Decimal)


@given(
    amounts=st.lists(cents, min_size=1, max_size=12), carriage=cents, charges=cents,
    rate=st.decimals(min_value=Decimal("0.0001"), max_value=200, places=6),
    ours=st.sampled_from(["EUR", "JPY", "KWD"]),
)  # fmt: skip
def test_shares_of_carriage_and_charges_always_sum_exactly(amounts, carriage, charges, rate, ours):
    lines = landed_lines(amounts, rate=rate, carriage=carriage, charges=charges, ours=ours)
    assert sum(line.goods for line in lines) == rounded(sum(amounts) * rate, ours)
    assert sum(line.carriage for line in lines) == rounded(carriage * rate, ours)
    assert sum(line.charges for line in lines) == rounded(charges, ours)


def test_a_worked_example_in_two_currencies():
    # 1,200.00 and 300.00 NOK at 0.0850; carriage 150.00 NOK; 12.34 EUR of import charges; by hand:
    # goods 102.00 and 25.50; carriage 12.75 as 10.20 and 2.55; charges 12.34 as 9.87 and 2.47
    first, second = landed_lines(
        [Decimal("1200.00"), Decimal("300.00")],
        rate=Decimal("0.0850"), carriage=Decimal(150), charges=Decimal("12.34"), ours="EUR",
    )  # fmt: skip
    assert (first.goods, first.carriage, first.charges) == (Decimal("102.00"), Decimal("10.20"), Decimal("9.87"))
    assert (second.goods, second.carriage, second.charges) == (Decimal("25.50"), Decimal("2.55"), Decimal("2.47"))
    assert first.total + second.total == Decimal("152.59")


def test_a_rate_of_zero_is_no_rate():
    with pytest.raises(ValueError, match="above zero"):
        landed_lines([Decimal(1)], rate=Decimal(0), carriage=Decimal(0), charges=Decimal(0), ours="EUR")


def test_carriage_ends_at_the_threshold():
    assert usual_carriage(Decimal("79.99"), Decimal(7), Decimal(80)) == 7
    assert usual_carriage(Decimal("80.00"), Decimal(7), Decimal(80)) == 0
    assert usual_carriage(Decimal(500), Decimal(7), None) == 7
    assert usual_carriage(Decimal(0), Decimal(7), None) == 0


@given(quantity=pieces, wants=st.lists(pieces, max_size=8))
def test_what_is_dealt_out_and_the_rest_make_the_whole(quantity, wants):
    given_out, rest = allot(quantity, list(enumerate(wants)))
    assert sum((part for _key, part in given_out), Decimal(0)) + rest == quantity
    assert all(part <= wants[key] for key, part in given_out)


@given(shares=st.lists(pieces, min_size=1, max_size=6), quantity=pieces)
def test_resized_shares_make_the_line(shares, quantity):
    new = resized(list(enumerate(shares)), quantity, spare=0)
    assert sum(new.values(), Decimal(0)) == quantity


def test_the_least_pressing_share_goes_without_what_was_credited():
    shares = [("soon", Decimal(2)), ("later", Decimal(2))]
    assert open_wants(shares, {}, credited=Decimal(3)) == [("soon", Decimal(1)), ("later", Decimal(0))]
