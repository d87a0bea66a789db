"""Two people with the same parcel."""

from decimal import Decimal

import pytest

from parts.orders.models import Arrival, Order, ReturnCase
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


@pytest.mark.django_db(transaction=True)
def test_a_return_credited_while_its_arrival_is_taken_back_is_one_or_the_other():
    by = PersonFactory()
    order = Order.draft(SupplierFactory(), by)
    line = order.add_line(PartFactory(), Decimal(3), Decimal(10), by)
    order.place(by)
    arrival = line.receive(Decimal(1), by, condition=Arrival.DAMAGED)
    refused = []

    def act(hand):
        try:
            if hand % 2:
                Arrival.objects.get(pk=arrival.pk).undo(by)
            else:
                case = ReturnCase.objects.filter(arrival=arrival.pk).first()
                if case:
                    case.move_on(ReturnCase.CREDITED, by)
        except Refused as refusal:
            refused.append(refusal.message)

    at_once(act, 4)
    arrival.refresh_from_db()
    assert bool(arrival.undone_at) != ReturnCase.objects.filter(state=ReturnCase.CREDITED).exists()


@pytest.mark.django_db
def test_what_was_replaced_already_cannot_be_credited_as_well(owner, ordered, place):
    line = ordered(quantity=1)
    case = line.receive(Decimal(1), owner, condition=Arrival.DAMAGED).returns.get()
    line.receive(Decimal(1), owner, place=place)
    with pytest.raises(Refused, match="another came for it"):
        case.move_on(ReturnCase.CREDITED, owner)
    case.move_on(ReturnCase.REPLACED, owner)
