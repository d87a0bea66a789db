"""What a variation undoes, what it loses, and the days it moves. Figures worked by hand."""

from decimal import Decimal as D

import pytest
from django.urls import reverse

from builds.labour.models import Need, Precedes
from builds.labour.patterns import PatternTask, PlanPattern
from builds.quotes.models import IssueLine, Quote
from builds.quotes.rework import new_findings, shift_of
from parts.shelf.models import Stock
from parts.workshop.refusal import Refused
from tests.factories import PartFactory, PlaceFactory, SupplierPriceFactory, TaskFactory, once

from .conftest import in_days, put


@pytest.fixture
def built(agreed, job, plan, owner):
    """Blocks (4 h) are fitted and plumbed (6 h), the pump is in its tray; the soak is to come."""
    blocks, plumbing, soak = plan
    Need.objects.create(task=blocks, role=job.roles.get(name="pump"))
    Precedes.objects.create(before=blocks, after=plumbing)
    Precedes.objects.create(before=plumbing, after=soak)
    pump = agreed.spec.lines.get(role__name="pump").part
    Stock.put_in(part=pump, tray=job.tray, place=PlaceFactory(), quantity=D(1), reason="came", by=owner)
    for task in (blocks, plumbing):
        task.finish(owner)
    return plan


@pytest.fixture
def newer(built, spec, owner):
    """The agreed spec with a stronger pump at 120.00 instead of the one at 80.00."""
    made = spec.copy(owner)
    line = made.lines.get(role__name="pump")
    line.part = PartFactory(name="stronger pump")
    line.save()
    SupplierPriceFactory(part=line.part, price=D("120.00"), lead_days=0)
    return made


@pytest.fixture
def change(newer, job, owner):
    return Quote.vary(job, newer, owner)


def lines_of(issue):
    return [(x.text, x.quantity, x.unit_cost, x.unit_price, x.amount) for x in issue.figures().lines]


def test_parts_loss_and_work_done_again_are_priced(change):
    """15 % of 80.00 stay with the supplier; 4 + 6 hours of fit-up are done again at 38.00."""
    assert lines_of(change) == [
        ("pump part", D(-1), D(80), D(100), D("-100.00")),
        ("stronger pump", D(1), D(120), D("150.00"), D("150.00")),
        ("Undone and done again: Fit-up", D(10), D(15), D(38), D("380.00")),
        ("Sent back: pump part", D(1), D(12), D(12), D("12.00")),
    ]
    figures = change.figures()
    assert (figures.totals.net, figures.totals.total) == (D("442.00"), D("530.40"))
    assert figures.keep.contribution == D(442) + 80 - 120 - 12


def test_a_part_never_bought_loses_nothing(newer, job, owner):
    Stock.objects.update(quantity=0)
    assert "Sent back" not in str(lines_of(Quote.vary(job, newer, owner)))


def test_the_suppliers_share_can_be_typed(change, owner):
    change.set_terms(
        owner, valid_until=in_days(7), promise=in_days(90), margin_percent=D(20), restock_percent=D("12.5")
    )
    assert ("Sent back: pump part", D(1), D(10), D(10), D("10.00")) in lines_of(change)


def test_only_what_rests_on_the_change_is_undone(change, plan):
    assert [(row.task, row.hours) for row in change.reworks.all()] == [(plan[0], D(4)), (plan[1], D(6))]


def test_a_task_may_stay_done_or_take_other_hours(change, plan, owner):
    change.drop_rework(owner, change.reworks.get(task=plan[1]))
    change.put_rework(owner, plan[0], D("1.5"))
    assert ("Undone and done again: Fit-up", D("1.50"), D(15), D(38), D("57.00")) in lines_of(change)
    change.lay_again(change.spec, owner)
    assert change.reworks.get().hours == D("1.5")
    with pytest.raises(Refused, match="Only a finished task"):
        change.put_rework(owner, plan[2], D(1))


def test_its_work_line_leaves_with_the_tasks_alone(change, owner):
    with pytest.raises(Refused, match="comes from the re-work"):
        change.lines.get(rework=True).remove(owner)


def test_ten_hours_more_at_thirty_a_week_move_two_working_days(change, job, owner):
    """5 h are left, 15 h with the change: one working day against three (30 h a week in 5 days)."""
    fans = change.spec.lines.get(role__name="fans").part
    Stock.put_in(part=fans, tray=job.tray, place=PlaceFactory(), quantity=D(6), reason="came", by=owner)
    shift = shift_of(change)
    assert 2 <= shift.days <= 4  # a week-end may lie between
    assert "takes" in change.effects()["days"]


def test_accepting_opens_the_tasks_with_their_hours_again(change, job, plan, owner):
    change.set_terms(owner, valid_until=in_days(7), promise=in_days(90), margin_percent=D(20))
    change.send(owner)
    change.accept(owner, "T. Oyelaran")
    blocks, plumbing, soak = job.tasks.all()
    assert [task.is_done for task in (blocks, plumbing, soak)] == [False, False, False]
    assert [task.hours_likely for task in (blocks, plumbing, soak)] == [D(8), D(12), D(5)]
    assert [task.quoted_hours for task in (blocks, plumbing, soak)] == [D(8), D(12), D(5)]


def test_the_plan_gets_the_steps_of_what_is_new(newer, job, plan, owner):
    pattern = PlanPattern.objects.create(name="usual")
    step = PatternTask.objects.create(
        pattern=pattern, name="fit lights", work_kind=plan[0].work_kind, position=9, needs_kinds=["fan"], per="job",
        hours_low=1, hours_likely=2, hours_high=3,
    )  # fmt: skip
    other = PatternTask.objects.create(
        pattern=pattern, name="clean", work_kind=plan[0].work_kind, position=10, per="job", hours_low=1,
        hours_likely=2, hours_high=3,
    )  # fmt: skip
    TaskFactory(job=job, pattern_task=other, work_kind=plan[0].work_kind)
    put(newer, "lights", "8.00", kind="fan")
    change = Quote.vary(job, newer, owner)
    change.send(owner)
    assert not job.tasks.filter(pattern_task=step).exists()
    change.accept(owner, "T. Oyelaran")
    assert job.tasks.get(pattern_task=step).needs.get().role.name == "lights"


def test_declined_it_undoes_nothing(change, job, owner):
    change.send(owner)
    change.decline(owner)
    assert [task.is_done for task in job.tasks.all()] == [True, True, False]
    assert job.tasks.first().hours_likely == D(4)


def test_what_it_does_is_frozen_with_it(change, owner, job):
    change.send(owner)
    said = change.effects()
    assert [row["task"] for row in said["rework"]] == ["blocks", "plumbing"]
    job.tasks.update(hours_likely=D(99))
    change.refresh_from_db()
    assert change.effects() == said
    assert change.document.data["effects"] == said


def test_new_findings_are_those_the_agreed_spec_had_not(change):
    known = {finding.fingerprint for finding in new_findings(change)}
    from builds.specs.sanity import findings_of

    assert known.isdisjoint({finding.fingerprint for finding in findings_of(change.quote.alters.spec)})


def test_a_next_issue_keeps_the_tasks_put_down(change, plan, owner, newer):
    change.drop_rework(owner, change.reworks.get(task=plan[1]))
    change.send(owner)
    again = change.quote.next_issue(newer, owner)
    assert [row.task for row in again.reworks.all()] == [plan[0]]
    assert again.lines.filter(rework=True).count() == 1


def test_typed_work_stands_beside_work_done_again(change, plan, owner):
    change.add_line(
        owner, kind=IssueLine.LABOUR, work_kind=plan[0].work_kind, text="Fit-up", quantity=D(2), unit="h",
        unit_price=D(38), unit_cost=D(15),
    )  # fmt: skip
    change.lay_again(change.spec, owner)
    assert [line.quantity for line in change.lines.filter(kind="labour")] == [D(10), D(2)]


def test_on_the_sheet(change, owner_client, job, plan):
    here = reverse("quotes:issue", args=[job.number, change.quote.number, 1])
    shown = owner_client.get(here).content.decode()
    assert "What this change does" in shown
    answer = owner_client.post(here + "rework/", once(**{"again-task": plan[0].pk, "again-hours": "2"}), follow=True)
    assert answer.status_code == 200
    change.reworks.get(task=plan[0])
    wrong = owner_client.post(here + "rework/", once(**{"again-task": plan[2].pk, "again-hours": "2"}))
    assert "valid choice" in wrong.content.decode()
    row = change.reworks.get(task=plan[1])
    owner_client.post(f"{here}rework/{row.pk}/remove/", once())
    assert change.reworks.count() == 1
