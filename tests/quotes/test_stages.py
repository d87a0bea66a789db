"""Stage payments make up the total, whatever the split."""

from decimal import Decimal as D

import pytest
from hypothesis import given, reject
from hypothesis import strategies as st

from builds.quotes.stages import Stage, Unsplit, split
from parts.workshop.money import quantum

MONEY = st.decimals("0", "1e10", places=2)
STAGES = st.lists(
    st.one_of(
        st.builds(Stage, st.just("percent"), st.decimals("0", "30", places=2)),
        st.builds(Stage, st.just("fixed"), st.decimals("0", "5000", places=2)),
        st.just(Stage("parts")),
    ),
    max_size=3,
).flatmap(lambda some: st.permutations([*some, Stage("rest")]))


@given(MONEY, STAGES, st.decimals("0", "1e6", places=2), st.sampled_from(["EUR", "JPY", "KWD"]))
def test_a_split_sums_exactly(total, stages, parts, currency):
    try:
        amounts = split(total, stages, parts, currency)
    except Unsplit:
        reject()
    assert sum(amounts) == total.quantize(quantum(currency), rounding="ROUND_HALF_UP")
    assert all(amount.as_tuple().exponent == quantum(currency).as_tuple().exponent for amount in amounts)


@given(st.decimals("-1e10", "1e10", places=2), st.integers(1, 9))
def test_rests_share_even_a_refund(total, count):
    assert sum(split(total, [Stage("rest")] * count, D(0), "EUR")) == total


@given(MONEY, st.lists(st.integers(1, 50), min_size=1, max_size=8))
def test_per_cents_of_a_hundred_lose_nothing(total, weights):
    percents = [D(w) * 100 / sum(weights) for w in weights[:-1]]
    stages = [Stage("percent", p) for p in (*percents, 100 - sum(percents))]
    assert sum(split(total, stages, D(0), "EUR")) == total


def test_thirds():
    amounts = split(D("100.00"), [Stage("percent", D("33.3")), Stage("percent", D("33.3")), Stage("rest")], D(0), "EUR")
    assert amounts == [D("33.30"), D("33.30"), D("33.40")]


def test_all_parts_up_front():
    assert split(D("4242.84"), [Stage("parts"), Stage("rest")], D("2738.04"), "GBP") == [D("2738.04"), D("1504.80")]


@pytest.mark.parametrize(
    ("stages", "said"),
    [
        ([], "no stage payment"),
        ([Stage("percent", D(60)), Stage("percent", D(60))], "the rest"),
        ([Stage("percent", D(30))], "come to 30.00, the total is 100.00"),
        ([Stage("fixed", D(150)), Stage("rest")], "Lower one"),
    ],
)
def test_a_split_that_cannot_be_says_what_to_change(stages, said):
    with pytest.raises(Unsplit, match=said):
        split(D("100.00"), stages, D(0), "EUR")
