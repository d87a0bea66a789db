from decimal import Decimal

import pytest

from parts.orders.expected import expected_by_tray
from parts.orders.models import OrderLine, ReturnCase
from parts.shelf.models import Move, Stock, Unit
from parts.workshop.models import AuditEntry
from parts.workshop.refusal import Refused

pytestmark = pytest.mark.django_db


def test_a_slip_of_the_thumb_is_taken_back(owner, ordered, place, jobs):
    line = ordered({jobs[0]: 2})
    arrival = line.receive(Decimal(2), owner, place=place, serials=["A1"])
    arrival.undo(owner)
    assert not Stock.objects.lying().exists()
    assert not Unit.objects.exists()
    assert Move.objects.count() == 2  # in, and out again: the record keeps both
    assert OrderLine.objects.with_arrivals().get().outstanding == 2
    assert line.order.state == "placed"
    assert expected_by_tray([jobs[0].tray])[jobs[0].tray_id, line.part_id][0].quantity == 2
    assert AuditEntry.objects.filter(verb="took back", person=owner).exists()
    line.receive(Decimal(2), owner, place=place, serials=["A1"])
    with pytest.raises(Refused, match="taken back already"):
        arrival.undo(owner)


def test_what_has_moved_on_is_not_taken_back(owner, ordered, place, jobs):
    arrival = ordered({jobs[0]: 2}).receive(Decimal(2), owner, place=place)
    Stock.objects.get().move(tray=jobs[1].tray, quantity=Decimal(1), reason="lent", by=owner)
    with pytest.raises(Refused, match="Only 1 of"):
        arrival.undo(owner)
    assert OrderLine.objects.with_arrivals().get().outstanding == 0


def test_a_return_goes_with_its_arrival_unless_it_is_on_its_way(owner, ordered):
    line = ordered(quantity=2)
    line.receive(Decimal(1), owner, condition="damaged").undo(owner)
    assert not ReturnCase.objects.exists()
    again = line.receive(Decimal(1), owner, condition="damaged")
    again.returns.get().move_on("sent", owner)
    with pytest.raises(Refused, match="on its way"):
        again.undo(owner)
