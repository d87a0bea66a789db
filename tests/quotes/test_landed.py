"""What a part costs at the bench before it is ordered."""

from decimal import Decimal as D

from builds.quotes.landed import Offer, landed_costs

PUMP, BLOCK = 1, 2


def test_the_cheapest_offer_counts_with_its_share_of_carriage():
    offers = {
        PUMP: [Offer(7, D("120"), "EUR"), Offer(8, D("100"), "EUR", carriage=D("12"))],
        BLOCK: [Offer(8, D("50"), "EUR", carriage=D("12"))],
    }
    assert landed_costs({PUMP: D(1), BLOCK: D(2)}, offers, "EUR") == {PUMP: D("106"), BLOCK: D("53")}


def test_carriage_is_free_from_an_amount_on():
    offers = {PUMP: [Offer(8, D("100"), "EUR", D("12"), carriage_free_from=D("100"))]}
    assert landed_costs({PUMP: D(1)}, offers, "EUR") == {PUMP: D(100)}


def test_no_offer_in_the_workshops_currency_means_no_cost():
    assert landed_costs({PUMP: D(1), BLOCK: D(1)}, {PUMP: [Offer(7, D("90"), "USD")]}, "EUR") == {
        PUMP: None,
        BLOCK: None,
    }


def test_something_free_stays_free():
    assert landed_costs({PUMP: D(1)}, {PUMP: [Offer(7, D(0), "EUR", carriage=D(5))]}, "EUR") == {PUMP: D(0)}
