import datetime
from decimal import Decimal

import pytest
from django.utils import timezone

from parts.orders.arriving import Came
from parts.orders.expected import expected_by_tray
from parts.orders.models import Arrival, Order, OrderLine, ReturnCase
from parts.shelf.models import Move, Stock, Tray, Unit
from parts.workshop.models import AuditEntry
from parts.workshop.refusal import Refused
from tests.counting import queries
from tests.factories import PartFactory, SupplierFactory, once

pytestmark = pytest.mark.django_db


def outstanding(line):
    return OrderLine.objects.with_arrivals().get(pk=line.pk).outstanding


def test_a_part_delivery_of_a_part_delivery(owner, ordered, place, jobs):
    line = ordered({jobs[0]: 5})
    for came, left, state in ((2, 3, "part-arrived"), (1, 2, "part-arrived"), (2, 0, "complete")):
        line.receive(Decimal(came), owner, place=place)
        assert outstanding(line) == left
        assert line.order.state == state
    assert Stock.objects.get().quantity == 5
    assert Arrival.objects.count() == Move.objects.count() == 3
    assert AuditEntry.objects.filter(about=f"order {line.order}", verb="received").count() == 3


def test_the_share_needed_first_is_filled_first(owner, ordered, place, jobs):
    early, late = jobs
    day = timezone.localdate()
    line = ordered({late: 2, early: 2, None: 1}, needed={early: day, late: day + datetime.timedelta(days=9)})
    line.receive(Decimal(3), owner, place=place)
    held = Stock.objects.by_tray_and_part([job.tray for job in jobs])
    assert held == {(early.tray_id, line.part_id, "ours"): 2, (late.tray_id, line.part_id, "ours"): 1}
    assert {
        tray: [e.quantity for e in waits] for (tray, _part), waits in expected_by_tray([late.tray, early.tray]).items()
    } == {late.tray_id: [1]}
    line.receive(Decimal(2), owner, place=place)
    assert Stock.objects.get(tray=Tray.free_shelf()).quantity == 1


def test_parts_moved_on_to_another_job_do_not_come_twice_for_the_first(owner, ordered, place, jobs):
    line = ordered({jobs[0]: 2})
    line.receive(Decimal(1), owner, place=place)
    Stock.objects.get().move(tray=jobs[1].tray, quantity=Decimal(1), reason="lent", by=owner)
    ((_key, (still,)),) = expected_by_tray([jobs[0].tray]).items()
    assert still.quantity == 1


def test_a_damaged_piece_opens_a_return_and_stays_outstanding(owner, ordered, jobs):
    line = ordered({jobs[0]: 2})
    arrival = line.receive(Decimal(1), owner, condition="damaged", note="fins bent")
    case = ReturnCase.objects.get(arrival=arrival)
    assert (case.state, case.note) == ("open", "fins bent")
    assert not Stock.objects.exists()
    assert outstanding(line) == 2
    assert line.order.state == "part-arrived"


def test_a_wrong_item_credited_is_expected_no_more(owner, ordered, place, jobs):
    line = ordered({jobs[0]: 1, None: 1})
    line.receive(Decimal(1), owner, condition="wrong", note="M3 threads")
    case = ReturnCase.objects.get()
    case.move_on("sent", owner)
    assert not case.is_closed
    case.move_on("credited", owner, note="credit note 12")
    assert case.is_closed
    assert outstanding(line) == 1
    line.receive(Decimal(1), owner, place=place)
    assert line.order.state == "complete"
    assert Stock.objects.get().tray == jobs[0].tray  # the free shelf goes without
    with pytest.raises(Refused, match="is credited"):
        case.move_on("replaced", owner)


def test_more_than_ordered_asks_and_then_goes_to_the_free_shelf(owner, ordered, place, jobs):
    line = ordered({jobs[0]: 3})
    with pytest.raises(Refused, match="5 came, but only 3 of the 3 ordered are outstanding") as refusal:
        line.receive(Decimal(5), owner, place=place)
    assert refusal.value.field == "quantity"
    assert not Arrival.objects.exists()
    line.receive(Decimal(5), owner, place=place, confirm_over=True)
    assert dict(Stock.objects.values_list("tray", "quantity")) == {jobs[0].tray_id: 3, Tray.free_shelf().pk: 2}
    assert outstanding(line) == 0


@pytest.mark.parametrize("quantity", [0, -2, "0.5", None])
def test_a_quantity_that_cannot_have_come_is_refused(owner, ordered, place, quantity):
    line = ordered(quantity=3)
    with pytest.raises(Refused) as refusal:
        line.receive(quantity and Decimal(quantity), owner, place=place)
    assert (refusal.value.field, refusal.value.line_id) == ("quantity", line.pk)


def test_good_pieces_need_a_place(owner, ordered):
    with pytest.raises(Refused) as refusal:
        ordered(quantity=1).receive(Decimal(1), owner)
    assert refusal.value.field == "place"


def test_an_arrival_on_a_cancelled_order_says_what_to_do(owner, ordered, place):
    line = ordered(quantity=1)
    line.order.cancel(owner)
    with pytest.raises(Refused, match=r"was cancelled on .* Send the parcel back, or"):
        line.receive(Decimal(1), owner, place=place)
    line.order.take_up_again(owner)
    line.receive(Decimal(1), owner, place=place)


def test_nothing_arrives_on_a_draft(owner, ordered, place):
    with pytest.raises(Refused, match="still a draft"):
        ordered(placed=False).receive(Decimal(1), owner, place=place)


def test_serials_follow_their_pieces_into_the_trays(owner, ordered, place, jobs):
    line = ordered({jobs[0]: 1, jobs[1]: 1}, part=PartFactory(warranty_months=24))
    line.receive(Decimal(2), owner, place=place, serials=["G-1", "G-2"])
    assert dict(Unit.objects.values_list("serial", "tray")) == {"G-1": jobs[0].tray_id, "G-2": jobs[1].tray_id}


@pytest.mark.parametrize(
    ("serials", "said"), [(["A", "A"], "written twice"), (["A", "B", "C"], "3 serial numbers"), (["KNOWN"], "already")]
)
def test_a_bad_serial_leaves_the_whole_delivery_unwritten(owner, ordered, place, serials, said):
    part = PartFactory()
    Stock.put_in(
        part=part,
        tray=Tray.free_shelf(),
        place=place,
        quantity=Decimal(1),
        reason="counted",
        by=owner,
        serials=["KNOWN"],
    )
    first = ordered(quantity=1, placed=False)
    second = ordered(quantity=2, part=part, order=first.order)
    with pytest.raises(Refused, match=said) as refusal:
        second.order.receive(
            [Came(first.pk, Decimal(1), place=place), Came(second.pk, Decimal(2), place=place, serials=tuple(serials))],
            owner,
        )
    assert (refusal.value.field, refusal.value.line_id) == ("serials", second.pk)
    assert not Arrival.objects.exists()
    assert Unit.objects.count() == 1


def test_good_and_damaged_pieces_of_one_line_in_one_parcel(owner, ordered, place):
    line = ordered(quantity=3)
    line.order.receive([Came(line.pk, Decimal(2), place=place), Came(line.pk, Decimal(1), condition="damaged")], owner)
    assert Stock.objects.get().quantity == 2
    assert outstanding(line) == 1


def test_tube_by_the_metre_is_complete_to_the_last_millimetre(owner, ordered, place):
    line = ordered(quantity=Decimal("0.8"), part=PartFactory(kind="tube"))
    for piece in ("0.1", "0.7"):
        line.receive(Decimal(piece), owner, place=place)
    assert line.order.state == "complete"  # 0.8 − (0.1 + 0.7) is not nothing in floating point


def test_a_delivery_of_twenty_lines_stays_within_its_queries(owner, place, jobs, django_assert_max_num_queries):
    order = Order.draft(SupplierFactory(), owner)
    for part in PartFactory.create_batch(20):
        order.add_line(part, Decimal(2), Decimal(5), owner, shares={jobs[0].tray: (Decimal(1), None)})
    order.place(owner)
    came = [Came(pk, Decimal(2), place=place, serials=(f"S{pk}",)) for pk in order.lines.values_list("pk", flat=True)]
    with django_assert_max_num_queries(25 + 4 * 20):
        order.receive(came, owner)
    assert Unit.objects.count() == 20


def test_what_is_short_stays_outstanding_and_opens_no_return(owner, place, ordered):
    line = ordered(quantity=5)
    line.receive(Decimal(4), owner, place=place)
    short = line.receive(Decimal(1), owner, condition="short", note="four on the tray, five on the note")
    line = OrderLine.objects.with_arrivals().get()
    assert (line.good, line.faulty, line.outstanding) == (4, 0, 1)
    assert not ReturnCase.objects.exists()
    assert line.order.state == "part-arrived"
    short.undo(owner)


def test_an_order_of_which_all_is_short_has_not_begun_to_arrive(owner, ordered):
    line = ordered(quantity=2)
    line.receive(Decimal(2), owner, condition="short")
    assert line.order.state == "placed"


@pytest.fixture
def twenty(owner, jobs):
    """A placed order of twenty lines, half for a job and half for the free shelf."""
    order = Order.draft(SupplierFactory(), owner)
    for part in PartFactory.create_batch(20):
        order.add_line(part, Decimal(2), Decimal(5), owner, shares={jobs[0].tray: (Decimal(1), None)})
    order.place(owner)
    return order


def test_the_page_takes_twenty_lines_in_within_the_same_queries(helper_client, twenty):
    whole = queries(lambda: helper_client.post(f"/orders/{twenty}/receive/", once(place="bench")))
    assert twenty.state == "complete"
    assert whole <= 25 + 4 * 20


def test_a_tap_costs_as_much_on_a_long_order_as_on_a_short_one(helper_client, twenty, ordered):
    def took(line):
        address, typed = f"/orders/{line.order}/receive/{line.pk}/", once(quantity="2", condition="good", place="bench")
        return queries(lambda: helper_client.post(address, typed, headers={"HX-Request": "true"}))

    one, of_twenty = took(ordered(quantity=2)), took(twenty.lines.first())
    assert of_twenty <= one
