"""When it goes wrong: a bad part, a job that ends, a client's own part, a withdrawn one."""

from decimal import Decimal

import pytest

from builds.gathering.ordering import make_orders, place
from builds.gathering.trouble import rework_of, settle
from builds.jobs.models import Stage
from builds.labour.models import Need, Precedes
from builds.labour.readiness import task_states
from builds.quotes.models import Issue, Quote
from builds.specs.models import SpecVersion
from parts.orders.models import Order, OrderLine, ReturnCase
from parts.shelf.models import Stock, Tray, Unit
from parts.workshop.refusal import Refused
from tests.counting import queries
from tests.factories import (
    JobFactory,
    PartFactory,
    PlaceFactory,
    RoleFactory,
    SpecLineFactory,
    SpecVersionFactory,
    SupplierPriceFactory,
    TaskFactory,
    once,
)


def text(answer):
    return answer.content.decode()


@pytest.fixture
def built(owner, agreed, sold):
    """A job whose pump came on an order and was plumbed in; then the loop was filled."""
    pump = sold("Pump", "95", code="P-1")
    job = agreed({"pump": (pump, 1)})
    (order,) = make_orders(job, owner)
    place(order, owner)
    order.lines.get().receive(Decimal(1), owner, place=PlaceFactory(name="bench"), serials=["A1"])
    plumb, fill = TaskFactory(job=job, name="plumb"), TaskFactory(job=job, name="fill")
    Need.objects.create(task=plumb, role=job.roles.get())
    Precedes.objects.create(before=plumb, after=fill)
    for task in (plumb, fill):
        task.finish(owner)
    job.refresh_from_db()
    return job


def bad(client, job, **said):
    stock = Stock.objects.lying().get(tray=job.tray)
    typed = once(quantity="1", note="weeps at the port", found="soak", another="buy") | said
    return client.post(f"/shelf/{stock.pk}/bad/", typed)


def test_a_pump_that_fails_in_the_soak_goes_back_is_ordered_again_and_fitted_again(helper_client, built):
    stock = Stock.objects.lying().get(tray=built.tray)
    page = text(helper_client.get(f"/shelf/{stock.pk}/bad/"))
    assert "plumb" in page
    assert "Mains off" in page
    plumb = built.tasks.get(name="plumb")
    answer = bad(helper_client, built, again=[plumb.pk])
    assert answer.url == f"/jobs/{built}/parts/"
    case = ReturnCase.objects.get()
    assert (case.reason, case.found, case.supplier.name) == ("faulty", "soak", "Fen Fluidics")
    assert [unit.serial for unit in case.move.units_gone.all()] == ["A1"]
    assert case.replacement.order.is_draft
    assert case.replacement.unit_price == Decimal(95)
    assert [(share.tray, share.quantity) for share in case.replacement.shares.all()] == [(built.tray, 1)]
    plumb.refresh_from_db()
    assert not plumb.is_done
    states = {state.task.name: state.state for state in task_states([built])[built.pk]}
    assert states["plumb"] == "waits for part"
    assert Unit.objects.get().left


def test_what_has_to_be_done_again_is_named(built):
    direct, later = rework_of(built, Stock.objects.lying().get().part)
    assert ([task.name for task in direct], [task.name for task in later]) == (["plumb"], ["fill"])


def test_a_part_they_replace_costs_nothing_the_second_time(owner_client, built):
    bad(owner_client, built, another="free")
    assert ReturnCase.objects.get().replacement.unit_price == 0


def test_after_hand_over_the_rework_is_named_and_the_job_stays_closed(owner_client, built):
    built.stage = Stage.HANDED_OVER
    built.save()
    stock = Stock.objects.lying().get()
    assert "open a service job" in text(owner_client.get(f"/shelf/{stock.pk}/bad/"))
    bad(owner_client, built, found="after", another="none")
    assert ReturnCase.objects.get().found == "after"
    assert all(task.is_done for task in built.tasks.all())


def test_more_bad_ones_than_lie_there_are_refused_and_what_was_typed_stays(owner_client, built):
    answer = bad(owner_client, built, quantity="2")
    assert "Only 1 of Pump lie there" in " ".join(answer.context["form"].errors["quantity"])
    assert "weeps at the port" in text(answer)
    assert not ReturnCase.objects.exists()


def test_a_credit_lowers_what_the_jobs_parts_cost(owner_client, built):
    assert "Landed cost of what came for it: <b>102.00 EUR" in text(owner_client.get(f"/jobs/{built}/parts/"))
    bad(owner_client, built, another="none")
    case = ReturnCase.objects.get()
    owner_client.post(f"/orders/returns/{case.pk}/", once(state="credited", credit="95,00"))
    case.refresh_from_db()
    assert (case.state, case.credit) == ("credited", 95)
    page = text(owner_client.get(f"/jobs/{built}/parts/"))
    assert "<b>7.00 EUR" in page
    assert "95.00 credited" in page


def test_a_helper_sees_no_cost_and_no_credit(helper_client, built):
    assert "102.00" not in text(helper_client.get(f"/jobs/{built}/parts/"))
    bad(helper_client, built)
    assert 'name="credit"' not in text(helper_client.get("/orders/returns/"))


def test_a_credit_without_being_credited_is_refused_at_its_field(owner_client, built):
    bad(owner_client, built)
    case = ReturnCase.objects.get()
    answer = owner_client.post(f"/orders/returns/{case.pk}/", once(state="sent", credit="5", note="by post"))
    assert "only for what was credited" in text(answer)
    assert "by post" in text(answer)


def test_the_clients_own_part_dead_on_arrival_leaves_its_task_waiting(owner_client, owner, agreed):
    board = PartFactory(name="Board")
    job = agreed({"board": (board, 1)}, brought=["board"])
    task = TaskFactory(job=job, name="fit the board")
    Need.objects.create(task=task, role=job.roles.get())
    Stock.put_in(part=board, tray=job.tray, place=PlaceFactory(), quantity=Decimal(1), owner="client", by=owner,
                 reason="from the client: as new")  # fmt: skip
    assert task_states([job])[job.pk][0].state == "ready"
    answer = bad(owner_client, job, another="none")
    assert answer.status_code == 302
    assert not ReturnCase.objects.exists()
    assert task_states([job])[job.pk][0].state == "waits for part"


@pytest.fixture
def brought(owner, fen):
    """A job agreed by a quote in which the client brings the board and we a pump; the board is in its tray."""
    board, pump = PartFactory(name="Board"), PartFactory(name="Pump")
    for part, price in ((board, 300), (pump, 95)):
        SupplierPriceFactory(part=part, supplier=fen, price=Decimal(price))
    job = JobFactory(stage="enquiry")
    spec = SpecVersionFactory(job=job)
    for name, part, ours in (("board", board, False), ("pump", pump, True)):
        role = RoleFactory(job=job, name=name, kind=part.kind)
        SpecLineFactory(spec=spec, role=role, part=part, quantity=Decimal(1), client_supplied=not ours)
    Need.objects.create(task=TaskFactory(job=job, name="fit the board"), role=job.roles.get(name="board"))
    issue = Quote.draft(job, spec, owner)
    issue.send(owner)
    issue.accept(owner, "T. Oyelaran")
    Stock.put_in(part=board, tray=job.tray, place=PlaceFactory(), quantity=Decimal(1), owner="client", by=owner,
                 reason="from the client: as new")  # fmt: skip
    job.refresh_from_db()
    return job


def drafted(job):
    return Issue.objects.filter(quote__job=job, quote__alters__isnull=False, state=Issue.State.DRAFTED)


def test_a_dead_part_of_the_clients_drafts_the_variation_with_one_of_ours(owner_client, brought):
    agreed = Issue.objects.agreed_for(brought)
    answer = bad(owner_client, brought, another="vary", note="no sign of life")
    assert answer.url == f"/jobs/{brought}/parts/"
    (change,) = drafted(brought)
    (line,) = change.lines.filter(kind="part", quantity__gt=0)
    assert (line.text, line.client_supplied, line.unit_cost) == ("Board", False, Decimal(307))  # with 7 of carriage
    assert SpecVersion.objects.agreed_for(brought) == agreed.spec  # nothing moves before the client accepts
    assert task_states([brought])[brought.pk][0].state == "waits for part"
    assert not Stock.objects.lying().filter(tray=brought.tray).exists()


def test_a_helper_who_finds_it_drafts_it_without_seeing_a_price(helper_client, brought):
    bad(helper_client, brought, another="vary")
    page = text(helper_client.get(f"/jobs/{brought}/parts/"))
    assert f"variation {drafted(brought).get()} is drafted" in page
    assert not {"300", "307"} & set(page.replace(".", " ").split())


def test_a_variation_being_drafted_takes_the_dead_part_in(owner_client, owner, brought):
    spec = SpecVersion.objects.for_change(brought, owner)
    spec.put(brought.roles.get(name="pump"), PartFactory(name="Stronger pump"), owner)
    before = Quote.vary(brought, spec, owner)
    bad(owner_client, brought, another="vary")
    assert drafted(brought).get() == before
    assert set(before.lines.filter(quantity__gt=0, kind="part").values_list("text", flat=True)) == {
        "Board",
        "Stronger pump",
    }
    assert not Stock.objects.lying().filter(tray=brought.tray).exists()


def test_a_sent_variation_stays_as_it_was_sent(owner_client, owner, brought):
    spec = SpecVersion.objects.for_change(brought, owner)
    spec.put(brought.roles.get(name="pump"), PartFactory(name="Stronger pump"), owner)
    sent = Quote.vary(brought, spec, owner)
    sent.lines.filter(unit_cost=None).update(unit_cost=Decimal(120))
    sent.send(owner)
    bad(owner_client, brought, another="vary")
    assert not sent.lines.filter(text="Board").exists()
    assert drafted(brought).get().lines.filter(text="Board").exists()


def test_before_anything_is_agreed_the_dead_part_is_recorded_all_the_same(owner_client, owner, agreed):
    board = PartFactory(name="Board")
    job = agreed({"board": (board, 1)}, brought=["board"], agreed=False)
    stock = Stock.put_in(part=board, tray=job.tray, place=PlaceFactory(), quantity=Decimal(1), owner="client",
                         by=owner, reason="from the client").target  # fmt: skip
    assert bad(owner_client, job, another="vary", note="bent pins").status_code == 302
    assert "bent pins" in stock.moves_out.get().reason
    assert not Quote.objects.exists()


def test_the_clients_own_part_unused_is_given_back_and_recorded(helper_client, owner, agreed):
    job = agreed({"fan": (PartFactory(), 1)})
    stock = Stock.put_in(part=PartFactory(name="Board"), tray=job.tray, place=PlaceFactory(), quantity=Decimal(1),
                         owner="client", by=owner, reason="from the client").target  # fmt: skip
    assert "Give it back" in text(helper_client.get(f"/jobs/{job}/parts/"))
    helper_client.post(f"/shelf/{stock.pk}/give-back/", once())
    stock.refresh_from_db()
    assert stock.quantity == 0
    assert stock.moves_out.get().reason == "given back to the client"


def test_our_own_part_is_not_given_back(owner_client, built):
    stock = Stock.objects.lying().get()
    owner_client.post(f"/shelf/{stock.pk}/give-back/", once())
    assert Stock.objects.lying().exists()


@pytest.fixture
def ended(owner, owner_client, agreed, sold):
    """A cancelled job: fans on a placed order, a pump on the same, tubing on a draft, a block in the tray."""
    fan, pump, tube = sold("Fan", "18"), sold("Pump", "95"), sold("Tube", "9")
    job = agreed({"fan": (fan, 3), "pump": (pump, 1), "tube": (tube, 2)})
    (order,) = make_orders(job, owner)
    order.lines.get(part=tube).remove(owner)
    place(order, owner)
    make_orders(job, owner)
    order.lines.get(part=fan).receive(Decimal(1), owner, place=PlaceFactory(name="box"))
    job.refresh_from_db()
    answer = owner_client.post(f"/jobs/{job}/end/", once(version=job.version, reason="moved abroad"))
    assert answer.url == f"/jobs/{job}/parts/left/"
    job.refresh_from_db()
    return job


def test_a_cancelled_job_asks_for_each_share_and_does_as_told(owner_client, ended):
    page = text(owner_client.get(f"/jobs/{ended}/parts/left/"))
    for words in ("2 × Fan, still to come", "1 × Pump, still to come", "2 × Tube, still to come", "1 × Fan, at box"):
        assert words in page
    fan, pump, tube = (OrderLine.objects.get(part__name=name) for name in ("Fan", "Pump", "Tube"))
    stock = Stock.objects.lying().get()
    said = {f"line-{fan.pk}": "call off", f"line-{pump.pk}": "shelve", f"line-{tube.pk}": "call off",
            f"stock-{stock.pk}": "return"}  # fmt: skip
    owner_client.post(f"/jobs/{ended}/parts/left/", once(**said))
    fan.refresh_from_db()
    assert fan.quantity == 1
    assert pump.shares.get().tray == Tray.free_shelf()
    assert tube.order.state == "drafted" or Order.objects.get(pk=tube.order_id).state == "cancelled"
    assert ReturnCase.objects.get().reason == "unwanted"
    assert "Nothing is left" in text(owner_client.get(f"/jobs/{ended}/parts/left/"))
    order = Order.objects.get(pk=pump.order_id)
    assert sum(cost.total for cost in order.landed().values()) == Decimal("113.00") + order.carriage


def test_pieces_with_serials_at_two_places_go_one_way_together(owner, ended):
    board = PartFactory(name="Board with a number")
    for box, serial in (("box 1", "A1"), ("box 2", "B2")):
        Stock.put_in(part=board, tray=ended.tray, place=PlaceFactory(name=box), quantity=1, reason="counted",
                     by=owner, serials=[serial])  # fmt: skip
    one, two = Stock.objects.filter(part=board)
    with pytest.raises(Refused, match="Mark which serial numbers go"):
        settle(ended, {("stock", one.pk): "shelve", ("stock", two.pk): "return"}, owner)
    settle(ended, {("stock", one.pk): "shelve", ("stock", two.pk): "shelve"}, owner)
    assert {unit.tray for unit in Unit.objects.filter(part=board)} == {Tray.free_shelf()}


def test_what_is_left_for_later_stays(owner_client, ended):
    owner_client.post(f"/jobs/{ended}/parts/left/", once())
    assert "still to come" in text(owner_client.get(f"/jobs/{ended}/parts/left/"))
    assert "parts are left" in text(owner_client.get(f"/jobs/{ended}/parts/"))


def test_a_live_job_is_not_taken_apart(owner, owner_client, built):
    with pytest.raises(Refused, match="goes on"):
        settle(built, {}, owner)
    assert "goes on" in text(owner_client.get(f"/jobs/{built}/parts/left/"))


def test_what_came_meanwhile_is_not_called_off(owner, ended):
    line = OrderLine.objects.get(part__name="Pump")
    line.receive(Decimal(1), owner, place=PlaceFactory())
    with pytest.raises(Refused, match="Only 0 of Pump are still to come"):
        line.call_off(ended.tray, Decimal(1), owner)


def test_a_withdrawn_parts_successor_is_offered_and_goes_into_a_version_of_its_own(owner_client, agreed, sold):
    old, new = sold("Pump", "95"), sold("Pump mark two", "99")
    job = agreed({"pump": (old, 1)})
    SpecVersion.objects.update(frozen_at="2026-01-01T00:00Z")
    old.withdrawn, old.successor = True, new
    old.save()
    page = text(owner_client.get(f"/jobs/{job}/parts/"))
    assert "in its place: Pump mark two" in page
    line = SpecVersion.objects.get().lines.get()
    owner_client.post(f"/jobs/{job}/parts/successor/{line.pk}/", once())
    agreed_, current = SpecVersion.objects.agreed_for(job), SpecVersion.objects.current_for(job)
    assert agreed_.lines.get().part == old
    assert current.lines.get().part == new


def test_a_successor_at_no_price_waits_for_the_client_too(owner_client, owner, brought, fen):
    old, new = (brought.roles.get(name="pump").lines.get().part, PartFactory(name="Pump mark two"))
    SupplierPriceFactory(part=new, supplier=fen, price=Decimal(95))
    old.withdrawn, old.successor = True, new
    old.save()
    line = SpecVersion.objects.agreed_for(brought).lines.get(part=old)
    owner_client.post(f"/jobs/{brought}/parts/successor/{line.pk}/", once())
    change = Quote.vary(brought, SpecVersion.objects.current_for(brought), owner)
    credited = change.lines.get(text="Pump").unit_price
    change.lines.filter(text="Pump mark two").update(unit_price=credited, by_hand=True)
    change = Issue.objects.get(pk=change.pk)
    assert change.figures().totals.total == 0
    asked = {one.part for one in buying(owner_client, brought)}
    assert asked == {old}, "until the client accepts, the agreed part stands"
    change.send(owner)
    change.accept(owner, "T. Oyelaran")
    assert {one.part for one in buying(owner_client, brought)} == {new}


def buying(owner_client, job):
    shown = owner_client.get(f"/jobs/{job}/parts/").context["buying"]
    return [line for basket in shown.baskets for line in basket.lines]


def test_returns_ask_no_more_for_many(owner_client, owner, built):
    bad(owner_client, built)
    few = queries(lambda: owner_client.get("/orders/returns/"))
    case = ReturnCase.objects.get()
    for _n in range(6):
        ReturnCase.objects.create(part=case.part, quantity=1, supplier=case.supplier, tray=case.tray)
    assert queries(lambda: owner_client.get("/orders/returns/")) <= few
