"""Two people with the same parcel."""

from decimal import Decimal

import pytest

from parts.orders.models import Arrival, Order
from parts.shelf.models import Stock
from parts.workshop.refusal import Refused
from tests.factories import PartFactory, PersonFactory, PlaceFactory, SupplierFactory
from tests.shelf.test_together import at_once


@pytest.mark.django_db(transaction=True)
def test_a_line_received_twice_at_once_comes_in_once():
    by, place = PersonFactory(), PlaceFactory()
    order = Order.draft(SupplierFactory(), by)
    line = order.add_line(PartFactory(), Decimal(3), Decimal(10), by)
    order.place(by)
    refused = []

    def take_in(_hand):
        try:
            line.receive(Decimal(3), by, place=place)
        except Refused as refusal:
            refused.append(refusal.message)

    at_once(take_in, 4)
    assert Arrival.objects.count() == 1
    assert Stock.objects.get().quantity == 3
    assert len(refused) == 3
    assert "only 0 of the 3 ordered are outstanding" in refused[0]


@pytest.mark.django_db(transaction=True)
def test_numbers_are_given_once():
    by, supplier = PersonFactory(), SupplierFactory()
    at_once(lambda _hand: Order.draft(supplier, by), 6)
    assert sorted(Order.objects.values_list("number", flat=True)) == [1, 2, 3, 4, 5, 6]
