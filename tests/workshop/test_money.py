from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.workshop.forms import plain_number
from parts.workshop.money import rounded, shared

amounts = st.decimals(min_value="-1e9", max_value="1e12", places=3)


@given(amounts, st.lists(st.decimals(min_value=0, max_value=10**6, places=3), min_size=1, max_size=40))
def test_shares_lose_nothing(total, weights):
    shares = shared(total, weights, "EUR")
    assert sum(shares) == rounded(total, "EUR")
    assert len(shares) == len(weights)


@given(amounts)
def test_rounding_twice_changes_nothing(amount):
    once = rounded(amount, "EUR")
    assert rounded(once, "EUR") == once


@pytest.mark.parametrize(
    ("amount", "currency", "expected"),
    [
        # EN 16931 example 2 (ubl-tc434-example2.xml): 1460.50 at 25 % is 365.125; half-even would give .12
        ("365.125", "NOK", "365.13"),
        ("-0.005", "EUR", "-0.01"),
        ("1234.5", "JPY", "1235"),  # ISO 4217: the yen has no minor unit
        ("1.2345", "KWD", "1.235"),  # ISO 4217: the dinar has three digits
    ],
)
def test_halves_are_rounded_away_from_zero(amount, currency, expected):
    assert rounded(Decimal(amount), currency) == Decimal(expected)


def test_negative_weights_are_refused():
    with pytest.raises(ValueError, match="negative"):
        shared(Decimal(10), [1, -1], "EUR")


@pytest.mark.parametrize(
    ("typed", "plain"),
    [("£1,234.50", "1234.50"), ("1.234.567", "1234567"), ("0,125", "0.125"), ("−5,5", "-5.5"), ("12 €", "12")],
)
def test_amounts_are_read_as_people_type_them(typed, plain):
    assert plain_number(typed) == plain


@pytest.mark.parametrize("typed", ["1,234", "12.500"])
def test_an_amount_that_may_mean_two_things_is_refused(typed):
    with pytest.raises(ValueError, match="may mean"):
        plain_number(typed)
