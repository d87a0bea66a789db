import datetime
from decimal import Decimal

import pytest
from django.utils import timezone

from parts.orders.models import Order
from parts.shelf.models import Tray
from parts.workshop.models import AuditEntry
from parts.workshop.refusal import Refused
from tests.factories import JobFactory, PartFactory, SupplierFactory, SupplierPriceFactory

pytestmark = pytest.mark.django_db


def test_an_order_is_drafted_with_the_next_number(owner):
    supplier = SupplierFactory(name="Fen Fluidics")
    first, second = Order.draft(supplier, owner), Order.draft(supplier, owner)
    assert (str(first), str(second)) == ("O-0001", "O-0002")
    assert first.state == "drafted"
    assert AuditEntry.objects.get(about="order O-0001").after == {"supplier": "Fen Fluidics"}


def test_placing_promises_each_line_by_its_lead_time(owner):
    supplier, part, other = SupplierFactory(lead_days=5), PartFactory(), PartFactory()
    SupplierPriceFactory(supplier=supplier, part=part, lead_days=40)
    order = Order.draft(supplier, owner)
    for wanted in (part, other):
        order.add_line(wanted, Decimal(1), Decimal("12.50"), owner)
    order.place(owner)
    today = timezone.localdate()
    assert dict(order.lines.values_list("part", "promised")) == {
        part.pk: today + datetime.timedelta(days=40),
        other.pk: today + datetime.timedelta(days=5),
    }
    assert order.state == "placed"
    said = AuditEntry.objects.get(about=f"order {order}", verb="placed")
    assert (said.after["goods"], said.before["state"]) == ("25.00", "drafted")


def test_an_empty_order_is_not_placed(owner):
    with pytest.raises(Refused, match="has no lines"):
        Order.draft(SupplierFactory(), owner).place(owner)


def test_an_order_is_placed_once(owner, ordered):
    order = ordered().order
    with pytest.raises(Refused, match="no draft any more"):
        order.place(owner)
    with pytest.raises(Refused, match="no draft any more"):
        order.add_line(PartFactory(), Decimal(1), Decimal(1), owner)


def test_a_date_in_the_past_is_refused_with_its_part(owner, ordered):
    line = ordered(part=PartFactory(name="Pump"), placed=False)
    yesterday = timezone.localdate() - datetime.timedelta(days=1)
    with pytest.raises(Refused, match="Pump") as refusal:
        line.order.place(owner, promised=yesterday)
    assert refusal.value.field == "promised"
    assert Order.objects.get().is_draft
    line.order.place(owner)
    with pytest.raises(Refused):
        line.promise(yesterday, owner)


def test_a_foreign_order_needs_the_rate_of_the_day_and_the_next_one_starts_from_it(owner):
    supplier = SupplierFactory(currency="NOK")
    order = Order.draft(supplier, owner)
    order.add_line(PartFactory(), Decimal(1), Decimal(100), owner)
    with pytest.raises(Refused, match="rate for NOK") as refusal:
        order.place(owner)
    assert refusal.value.field == "rate"
    order.rate = Decimal("0.085")
    order.save()
    order.place(owner)
    assert Order.draft(supplier, owner).rate == Decimal("0.085")


def test_the_same_part_at_the_same_price_shares_a_line_between_jobs(owner, jobs, ordered):
    part = PartFactory()
    line = ordered({jobs[0]: 2}, part=part, placed=False)
    ordered({jobs[1]: 3, None: 1}, part=part, order=line.order, placed=False)
    merged = line.order.lines.get()
    assert merged.quantity == 6
    assert dict(merged.shares.values_list("tray", "quantity")) == {
        jobs[0].tray_id: 2, jobs[1].tray_id: 3, Tray.free_shelf().pk: 1,
    }  # fmt: skip


def test_shares_beyond_the_line_are_refused(owner):
    order, job = Order.draft(SupplierFactory(), owner), JobFactory()
    with pytest.raises(Refused, match="more than the line"):
        order.add_line(PartFactory(), Decimal(1), Decimal(1), owner, shares={job.tray: (Decimal(2), None)})
    assert not order.lines.exists()


@pytest.mark.parametrize(
    ("quantity", "price", "field"), [(0, 1, "quantity"), ("1.5", 1, "quantity"), (1, -1, "unit_price")]
)
def test_a_line_that_cannot_be_bought_is_refused(owner, quantity, price, field):
    with pytest.raises(Refused) as refusal:
        Order.draft(SupplierFactory(), owner).add_line(PartFactory(), Decimal(quantity), Decimal(price), owner)
    assert refusal.value.field == field


def test_a_changed_line_keeps_its_shares_in_step(owner, jobs, ordered):
    line = ordered({jobs[0]: 2, None: 1}, placed=False)
    line.change(quantity=Decimal(5), unit_price=Decimal("9.50"), by=owner)
    assert dict(line.shares.values_list("tray", "quantity")) == {jobs[0].tray_id: 2, Tray.free_shelf().pk: 3}
    line.change(quantity=Decimal(1), unit_price=Decimal("9.50"), by=owner)
    assert dict(line.shares.values_list("tray", "quantity")) == {jobs[0].tray_id: 1}
    line.remove(owner)
    assert not line.order.lines.exists()


def test_a_cancelled_order_can_be_taken_up_again(owner, ordered):
    order = ordered().order
    order.cancel(owner, reason="too late")
    assert order.state == "cancelled"
    with pytest.raises(Refused, match="cancelled already"):
        order.cancel(owner)
    order.take_up_again(owner)
    assert order.state == "placed"
    verbs = AuditEntry.objects.filter(about=f"order {order}").values_list("verb", flat=True)
    assert {"cancelled", "taken up again"} <= set(verbs)


def test_a_complete_order_is_not_cancelled(owner, ordered, place):
    line = ordered(quantity=1)
    line.receive(Decimal(1), owner, place=place)
    with pytest.raises(Refused, match="came in full"):
        line.order.cancel(owner)


def test_the_usual_carriage_follows_the_goods_until_somebody_types_another(owner):
    order = Order.draft(SupplierFactory(carriage=Decimal(7), free_carriage_from=Decimal(80)), owner)
    line = order.add_line(PartFactory(), Decimal(1), Decimal(50), owner)
    assert Order.objects.get().carriage == 7
    line.change(quantity=Decimal(2), unit_price=Decimal(50), by=owner)
    assert Order.objects.get().carriage == 0
    Order.objects.update(carriage=Decimal("3.33"))
    line.remove(owner)
    assert Order.objects.get().carriage == Decimal("3.33")
