"""What a part costs at the bench before it is ordered."""

from decimal import Decimal as D

import pytest

from builds.quotes.laying import part_rows
from builds.specs.landed import Offer, landed_costs
from tests.factories import SpecLineFactory, SupplierFactory, SupplierPriceFactory

PUMP, BLOCK = 1, 2


def test_the_cheapest_offer_counts_with_its_share_of_carriage():
    offers = {
        PUMP: [Offer(7, D("120")), Offer(8, D("100"), carriage=D("12"))],
        BLOCK: [Offer(8, D("50"), carriage=D("12"))],
    }
    assert landed_costs({PUMP: D(1), BLOCK: D(2)}, offers) == {PUMP: D("106"), BLOCK: D("53")}


def test_carriage_is_free_from_an_amount_on():
    offers = {PUMP: [Offer(8, D("100"), D("12"), carriage_free_from=D("100"))]}
    assert landed_costs({PUMP: D(1)}, offers) == {PUMP: D(100)}


def test_no_offer_means_no_cost():
    assert landed_costs({PUMP: D(1), BLOCK: D(1)}, {PUMP: []}) == {PUMP: None, BLOCK: None}


@pytest.mark.django_db
@pytest.mark.parametrize(("rate", "cost"), [("1.17", D("128.70")), (None, None)])
def test_a_foreign_price_counts_at_the_suppliers_usual_rate_or_not_at_all(rate, cost):
    supplier = SupplierFactory(currency="GBP", usual_rate=rate and D(rate), carriage=D(10))
    line = SpecLineFactory()
    SupplierPriceFactory(part=line.part, supplier=supplier, price=D(100))
    assert part_rows(line.spec, "EUR")[0]["unit_cost"] == cost


def test_something_free_stays_free():
    assert landed_costs({PUMP: D(1)}, {PUMP: [Offer(7, D(0), carriage=D(5))]}) == {PUMP: D(0)}
