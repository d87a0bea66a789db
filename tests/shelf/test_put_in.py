import datetime
from decimal import Decimal

import pytest
from django.utils import timezone

from parts.shelf.models import Move, Place, Stock, Tray, Unit, months_later
from parts.workshop.models import AuditEntry
from parts.workshop.refusal import Refused
from tests.factories import JobFactory, PartFactory, PlaceFactory, once

pytestmark = pytest.mark.django_db


def put(person, **changes):
    entry = {"part": None, "tray": Tray.free_shelf(), "quantity": Decimal(2), "reason": "counted", "by": person}
    entry |= changes
    entry["part"] = entry["part"] or PartFactory()
    entry.setdefault("place", PlaceFactory())
    return Stock.put_in(**entry)


def test_fans_found_in_a_drawer_are_put_on_the_free_shelf(owner):
    part, place = PartFactory(name="Fan 120"), PlaceFactory(name="drawer 4")
    move = put(owner, part=part, place=place, quantity=Decimal(3), reason="found in a drawer")
    stock = Stock.objects.get()
    assert (stock.quantity, stock.tray.is_free_shelf, stock.place, stock.owner) == (3, True, place, "ours")
    assert (move.target, move.source, move.quantity, move.person) == (stock, None, 3, owner)
    said = AuditEntry.objects.get(about=f"stock {stock.pk}")
    assert (said.person, said.before["quantity"], said.after["quantity"]) == (owner, "0", "3.000")
    assert said.after["reason"] == "found in a drawer"


def test_a_second_handful_joins_the_first(owner):
    part, place = PartFactory(), PlaceFactory()
    for _handful in range(2):
        put(owner, part=part, place=place)
    assert Stock.objects.get().quantity == 4
    assert Move.objects.count() == 2


def test_tube_is_measured_in_metres_to_the_millimetre(owner):
    put(owner, part=PartFactory(kind="tube"), quantity=Decimal("2.4996"))
    assert Stock.objects.get().quantity == Decimal("2.500")


@pytest.mark.parametrize(
    ("quantity", "said"),
    [(None, "how many"), (Decimal(0), "above zero"), (Decimal(-1), "above zero"), (Decimal("1.5"), "whole"),
     (Decimal("0.0001"), "above zero"), (Decimal(10_000_000), "999999")],
)  # fmt: skip
def test_a_quantity_that_cannot_be_is_refused_at_its_field(owner, quantity, said):
    with pytest.raises(Refused, match=said) as refusal:
        put(owner, quantity=quantity)
    assert refusal.value.field == "quantity"
    assert not Stock.objects.exists()


def test_a_count_without_a_reason_is_refused(owner):
    with pytest.raises(Refused) as refusal:
        put(owner, reason="  ")
    assert refusal.value.field == "reason"


def test_a_clients_own_part_lies_in_the_jobs_tray_beside_ours(owner):
    job, part, place = JobFactory(), PartFactory(), PlaceFactory()
    put(owner, part=part, place=place, tray=job.tray)
    put(owner, part=part, place=place, tray=job.tray, owner="client", reason="from the client, good")
    assert Stock.objects.count() == 2
    held = Stock.objects.by_tray_and_part([job.tray])
    assert held == {(job.tray.pk, part.pk, "ours"): 2, (job.tray.pk, part.pk, "client"): 2}


def test_a_clients_own_part_never_reaches_the_free_shelf(owner):
    with pytest.raises(Refused, match="tray of a job"):
        put(owner, owner="client")


def test_serials_are_kept_with_their_warranty(owner):
    move = put(owner, part=PartFactory(warranty_months=24), serials=[" A1 ", "A2", ""])
    units = Unit.objects.order_by("serial")
    assert [unit.serial for unit in units] == ["A1", "A2"]
    assert {unit.received for unit in units} == {move}
    assert units[0].warranty_until == months_later(timezone.localdate(), 24)


@pytest.mark.parametrize(
    ("serials", "said"), [(["A1", "A1"], "written twice"), (["A1", "A2", "A3"], "3 serial numbers for 2 pieces")]
)
def test_serials_that_do_not_fit_are_refused_and_nothing_is_stored(owner, serials, said):
    with pytest.raises(Refused, match=said) as refusal:
        put(owner, serials=serials)
    assert refusal.value.field == "serials"
    assert not Stock.objects.exists()
    assert not Move.objects.exists()


def test_a_serial_known_already_is_named_with_its_tray(owner):
    part = PartFactory(name="Graphics board")
    put(owner, part=part, serials=["A1"])
    with pytest.raises(Refused, match="Graphics board with serial number A1 is here already, in free shelf"):
        put(owner, part=part, serials=["A1"])
    put(owner, serials=["A1"])  # another part may bear the same number


def test_a_place_is_known_by_its_name_whatever_its_case(db):
    assert Place.named(" Box  3 ") == Place.named("box 3")
    with pytest.raises(Refused) as refusal:
        Place.named("  ")
    assert refusal.value.field == "place"


def test_a_warranty_that_starts_on_a_leap_day_ends_on_the_last_of_february():
    assert months_later(datetime.date(2028, 2, 29), 12) == datetime.date(2029, 2, 28)
    assert months_later(datetime.date(2026, 11, 15), 2) == datetime.date(2027, 1, 15)


def test_what_it_cost_is_known_to_the_owner_alone(owner_client, helper_client):
    part, shelf = PartFactory(), Tray.free_shelf()
    assert 'name="cost"' not in helper_client.get(f"/shelf/put-in/{part.pk}/").content.decode()
    sent = {"quantity": "4", "tray": shelf.name, "place": "box 3", "owner": "ours", "reason": "counted anew"}
    owner_client.post(f"/shelf/put-in/{part.pk}/", once(cost="12,40", **sent))
    helper_client.post(f"/shelf/put-in/{part.pk}/", once(cost="99", **sent))
    cost = Stock.objects.costs_of([shelf.pk], "EUR")[shelf.pk]
    assert (cost.total, cost.unknown) == (Decimal("12.40"), 4)


def test_the_clients_own_has_no_cost(owner_client):
    part, tray = PartFactory(), Tray.objects.create(name="J-0042")
    sent = {"quantity": "1", "tray": tray.name, "place": "box 3", "owner": "client", "reason": "from the client"}
    answer = owner_client.post(f"/shelf/put-in/{part.pk}/", once(cost="5", **sent))
    assert "only for the workshop" in " ".join(answer.context["form"].errors["cost"])
