import datetime
from decimal import Decimal

import pytest
from django.utils import timezone

from builds.checks.findings import Finding
from builds.gathering import gathered as gathered_module
from builds.gathering.gathered import gather
from builds.gathering.ordering import make_orders, place, take_from_shelf
from parts.orders.models import Order, OrderLine
from parts.shelf.models import Stock, Tray, Unit
from parts.workshop.refusal import Refused
from tests.factories import PersonFactory, PlaceFactory, SupplierFactory, SupplierPriceFactory
from tests.shelf.test_together import at_once

pytestmark = pytest.mark.django_db


def on_shelf(part, quantity, by, tray=None, **more):
    Stock.put_in(
        part=part, tray=tray or Tray.free_shelf(), place=PlaceFactory(), quantity=Decimal(quantity), reason="counted",
        by=by, **more,
    )  # fmt: skip


def test_one_order_a_supplier_with_the_jobs_shares(owner, agreed, sold, fen):
    quay = SupplierFactory(name="Quay Cooling")
    fan, pump = sold("Fan 120", "18.40"), sold("Pump", "95.00", supplier=quay)
    promise = timezone.localdate() + datetime.timedelta(days=40)
    job = agreed({"front fans": (fan, 3), "pump": (pump, 1)}, promise=promise)
    first, second = make_orders(job, owner)
    assert (first.supplier, second.supplier) == (fen, quay)
    line = first.lines.get()
    assert (line.quantity, line.unit_price) == (3, Decimal("18.40"))
    share = line.shares.get()
    assert (share.tray, share.quantity, share.needed_by) == (job.tray, 3, promise)
    assert first.carriage == 7
    job.refresh_from_db()
    assert job.stage == "agreed"  # drafted is not placed


def test_nothing_is_ordered_twice(owner, agreed, sold):
    job = agreed({"front fans": (sold("Fan 120", "18.40"), 3)})
    (order,) = make_orders(job, owner)
    with pytest.raises(Refused, match="nothing to order"):
        make_orders(job, owner)
    place(order, owner)
    with pytest.raises(Refused, match="nothing to order"):
        make_orders(job, owner)
    assert OrderLine.objects.get().quantity == 3


def test_only_what_is_missing_is_bought(owner, agreed, sold):
    fan = sold("Fan 120", "18.40")
    job = agreed({"front fans": (fan, 3), "top fans": (fan, 3)})
    on_shelf(fan, 1, owner)
    on_shelf(fan, 2, owner, tray=job.tray)
    make_orders(job, owner)
    assert OrderLine.objects.get().quantity == 3


def test_a_spare_from_a_whole_pack_is_for_the_free_shelf(owner, agreed, sold):
    job = agreed({"fittings": (sold("Fitting", "18.40", pack_size=Decimal(4)), 6)})
    (order,) = make_orders(job, owner)
    line = order.lines.get()
    assert (line.quantity, line.unit_price, line.amount) == (8, Decimal("4.60"), Decimal("36.80"))
    assert dict(line.shares.values_list("tray", "quantity")) == {job.tray_id: 6, Tray.free_shelf().pk: 2}


def test_two_jobs_share_a_draft_and_its_carriage_unless_told_otherwise(owner, agreed, sold):
    fan = sold("Fan 120", "18.40")
    jobs = [agreed({"fans": (fan, n)}) for n in (2, 3, 4)]
    (first,) = make_orders(jobs[0], owner)
    assert make_orders(jobs[1], owner) == [first]
    assert first.lines.get().quantity == 5
    (apart,) = make_orders(jobs[2], owner, join=False)
    assert apart != first
    first.refresh_from_db()
    assert first.carriage == 7


def test_carriage_typed_by_hand_is_kept(owner, agreed, sold, fen):
    fan = sold("Fan 120", "18.40")
    (order,) = make_orders(agreed({"fans": (fan, 2)}), owner)
    Order.objects.update(carriage=Decimal("3.33"))
    make_orders(agreed({"fans": (fan, 2)}), owner)
    order.refresh_from_db()
    assert order.carriage == Decimal("3.33")


def test_before_agreement_nothing_is_ordered(owner, agreed, sold):
    job = agreed({"fans": (sold("Fan 120", "18.40"), 2)}, agreed=False)
    with pytest.raises(Refused, match="before the client accepts"):
        make_orders(job, owner)
    assert not Order.objects.exists()


def test_a_role_with_an_open_stop_is_not_ordered(owner, agreed, sold, monkeypatch):
    job = agreed({"block": (sold("Block", "90"), 1), "fans": (sold("Fan 120", "18.40"), 2)})
    stop = Finding("stop", "does not fit", "choose another", "board design", "common practice", roles=("block",))
    monkeypatch.setattr(gathered_module, "open_stops", lambda spec: [stop])
    make_orders(job, owner)
    assert OrderLine.objects.get().part.name == "Fan 120"
    monkeypatch.setattr(gathered_module, "open_stops", lambda spec: [])
    make_orders(job, owner)
    assert OrderLine.objects.count() == 2


def test_what_the_client_supplies_is_not_bought(owner, agreed, sold):
    job = agreed({"graphics": (sold("Board", "600"), 1)}, brought=["graphics"])
    with pytest.raises(Refused, match="nothing to order"):
        make_orders(job, owner)


def test_a_foreign_supplier_is_compared_at_the_last_rate_used(owner, agreed, sold):
    fjord = SupplierFactory(currency="NOK")
    fan = sold("Fan 120", "18.40")
    SupplierPriceFactory(part=fan, supplier=fjord, price=Decimal(100))
    job = agreed({"fans": (fan, 2)})
    assert make_orders(job, owner)[0].supplier != fjord  # no rate known yet
    Order.objects.all().delete()
    old = Order.draft(fjord, owner)
    old.rate = Decimal("0.085")
    old.save()
    old.cancel(owner)
    (order,) = make_orders(job, owner)
    assert (order.supplier, order.rate, order.lines.get().unit_price) == (fjord, Decimal("0.085"), 100)


def test_placing_brings_every_job_of_the_order_to_gathering(owner, agreed, sold):
    fan = sold("Fan 120", "18.40")
    jobs = [agreed({"fans": (fan, 2)}) for _n in range(2)]
    at_the_bench = agreed({"fans": (fan, 2)})
    for job in [*jobs, at_the_bench]:
        (order,) = make_orders(job, owner)
    at_the_bench.reach("bench", owner)
    place(order, owner)
    stages = []
    for job in [*jobs, at_the_bench]:
        job.refresh_from_db()
        stages.append(job.stage)
    assert stages == ["gathering", "gathering", "bench"]


def test_a_cancelled_job_gathers_nothing(owner, agreed, sold):
    job = agreed({"fans": (sold("Fan 120", "18.40"), 2)})
    job.end("cancelled", owner)
    with pytest.raises(Refused, match="nothing is gathered"):
        make_orders(job, owner)


def test_one_tap_takes_what_is_needed_from_the_shelf(owner, agreed, sold):
    fan = sold("Fan 120", "18.40")
    job = agreed({"front fans": (fan, 3), "top fans": (fan, 2)})
    on_shelf(fan, 2, owner)
    on_shelf(fan, 9, owner)
    assert take_from_shelf(job, fan, owner) == 5
    assert Stock.objects.by_tray_and_part([job.tray]) == {(job.tray_id, fan.pk, "ours"): 5}
    with pytest.raises(Refused, match="no Fan 120 to spare"):
        take_from_shelf(job, fan, owner)


def test_which_serial_goes_is_asked(owner, agreed, sold):
    board = sold("Board", "600")
    job = agreed({"graphics": (board, 1)})
    on_shelf(board, 2, owner, serials=["A1", "A2"])
    with pytest.raises(Refused, match="A1, A2"):
        take_from_shelf(job, board, owner)
    assert not Unit.objects.filter(tray=job.tray).exists()


def test_of_a_scarce_part_the_first_role_gets_its_own(owner, agreed, sold):
    fan = sold("Fan 120", "18.40")
    job = agreed({"front fans": (fan, 3), "top fans": (fan, 3)})
    on_shelf(fan, 4, owner, tray=job.tray)
    first, second = gather(job).rows
    assert (first.fill.here, second.fill.here, second.fill.missing) == (3, 1, 2)


def test_what_no_role_needs_is_shown_as_surplus(owner, agreed, sold):
    fan, pump = sold("Fan 120", "18.40"), sold("Pump", "95")
    job = agreed({"fans": (fan, 3)})
    on_shelf(fan, 4, owner, tray=job.tray)
    on_shelf(pump, 1, owner, tray=job.tray)
    assert [(stock.part, over) for stock, over in gather(job).surplus] == [(fan, 1), (pump, 1)]


@pytest.mark.django_db(transaction=True)
def test_two_people_make_the_orders_at_once_and_it_is_ordered_once(agreed, sold):
    by, job = PersonFactory(), agreed({"fans": (sold("Fan 120", "18.40"), 3)})
    refused = []

    def order(_hand):
        try:
            make_orders(type(job).objects.get(pk=job.pk), by)
        except Refused as refusal:
            refused.append(refusal)

    at_once(order, 3)
    assert OrderLine.objects.get().quantity == 3
    assert len(refused) == 2


def test_what_one_weighed_last_time_is_known_to_the_next_order(owner, agreed, sold):
    fan = sold("Fan 120", "18.40")
    for weight in ("0.3", "0.28", None):
        earlier = Order.draft(fan.prices.get().supplier, owner)
        earlier.add_line(fan, Decimal(1), Decimal(18), owner, weight_kg=weight and Decimal(weight))
        earlier.place(owner)
    (order,) = make_orders(agreed({"fans": (fan, 2), "pump": (sold("Pump", "95"), 1)}), owner)
    assert [line.weight_kg for line in order.lines.all()] == [Decimal("0.28"), None]
