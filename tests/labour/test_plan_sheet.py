from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from builds.jobs.models import Stage
from builds.labour.models import HoursEntry, Need, Precedes, Task, network_of
from parts.workshop.models import AuditEntry
from tests.factories import (
    JobFactory,
    PartFactory,
    RoleFactory,
    SpecLineFactory,
    SpecVersionFactory,
    TaskFactory,
    WorkKindFactory,
    once,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def job():
    return JobFactory(stage=Stage.BENCH)


def sheet(client, job):
    return client.get(reverse("labour:plan", args=[job.number])).content.decode()


def act(client, name, task):
    return client.post(reverse(f"labour:{name}", args=[task.pk]), once(), follow=True)


def test_an_empty_plan_says_what_to_do_first(owner_client, helper_client, job):
    assert "Put parts into the spec first" in sheet(owner_client, job)
    assert "The owner lays it out" in sheet(helper_client, job)
    SpecVersionFactory(job=job)
    assert "Lay out the plan" in sheet(owner_client, job)


def test_laying_out_takes_one_press_even_in_a_new_workshop(owner_client, job):
    SpecLineFactory(spec=SpecVersionFactory(job=job), part=PartFactory(kind="case"))
    page = owner_client.post(reverse("labour:lay_out", args=[job.number]), once(), follow=True).content.decode()
    assert "tasks added" in page
    assert "Strip the case down" in page
    assert "Eye protection" in page or "eye protection" in page


def test_laying_out_without_a_spec_says_so(owner_client, job):
    page = owner_client.post(reverse("labour:lay_out", args=[job.number]), once(), follow=True)
    assert "There is no spec yet" in page.content.decode()


def test_tasks_show_their_state_waits_and_caution(helper_client, job):
    line = SpecLineFactory(spec=SpecVersionFactory(job=job), role=RoleFactory(job=job, name="pump"))
    first = TaskFactory(job=job, name="Fit blocks", caution="Unplugged.")
    second = TaskFactory(job=job, name="Plumb")
    Precedes.objects.create(before=first, after=second)
    Need.objects.create(task=second, role=line.role)
    page = sheet(helper_client, job)
    assert "<b>ready</b>" in page
    assert "Unplugged." in page
    assert "<b>waits</b>: “Fit blocks”; pump, not ordered" in page


def test_hours_quoted_logged_and_left(helper_client, helper, job):
    now = timezone.now()
    cut = TaskFactory(job=job, hours_likely=3, quoted_hours=2)
    TaskFactory(job=job, hours_likely=4, quoted_hours=5, done_at=now)
    TaskFactory(job=job, hours_likely=1)
    HoursEntry.objects.create(task=cut, person=helper, started_at=now - timedelta(hours=2), ended_at=now)
    # logged 2 of 2 + 5 quoted (the third was never quoted); left 3 − 2 and 1, the done one nothing
    assert "2 of 7 h, 2 h left" in sheet(helper_client, job)


def test_done_and_undo_with_one_press_each(helper_client, helper, job):
    task = TaskFactory(job=job)
    act(helper_client, "task_done", task)
    task.refresh_from_db()
    assert task.done_by == helper
    act(helper_client, "task_undo", task)
    task.refresh_from_db()
    assert task.done_at is None
    assert set(AuditEntry.objects.values_list("verb", flat=True)) >= {"done", "reopened"}


def test_done_stops_the_clock_and_brings_the_job_to_the_bench(helper):
    task = TaskFactory(job=JobFactory(stage=Stage.AGREED))
    HoursEntry.objects.create(task=task, person=helper, started_at=timezone.now() - timedelta(hours=1))
    task.finish(helper)
    assert not HoursEntry.objects.running().exists()
    assert task.job.stage == Stage.BENCH


def test_a_closed_jobs_plan_stands(helper_client):
    task = TaskFactory(job=JobFactory(stage=Stage.HANDED_OVER))
    assert "stands as it is" in act(helper_client, "task_done", task).content.decode()


def form_for(task, **data):
    given = {
        "name": task.name, "work_kind": task.work_kind_id, "hours_low": "1", "hours_likely": "2", "hours_high": "4",
        "caution": "", "proves": "", "after": [], "roles": [], "version": task.version,
    }  # fmt: skip
    return once(**given | data)


def test_the_owner_changes_hours_order_and_needs(owner_client, job):
    before, task, role = TaskFactory(job=job), TaskFactory(job=job), RoleFactory(job=job)
    owner_client.post(
        reverse("labour:task_edit", args=[task.pk]),
        form_for(task, hours_likely="2,5", after=[before.pk], roles=[role.pk]),
    )
    task.refresh_from_db()
    assert task.hours_likely == Decimal("2.5")
    assert network_of(job)[task.pk] == [before.pk]
    assert [need.role for need in task.needs.all()] == [role]
    changed = AuditEntry.objects.get(verb="changed")
    assert (Decimal(changed.before["hours_likely"]), changed.after) == (Decimal(2), {"hours_likely": "2.5"})


def test_a_circle_is_refused_naming_it_and_nothing_is_stored(owner_client, job):
    cut, plumb = TaskFactory(job=job, name="Cut"), TaskFactory(job=job, name="Plumb")
    Precedes.objects.create(before=cut, after=plumb)
    page = owner_client.post(
        reverse("labour:task_edit", args=[cut.pk]), form_for(cut, name="Cut anew", after=[plumb.pk])
    ).content.decode()
    assert "goes in a circle" in page
    assert "Plumb → Cut" in page or "Cut anew → Plumb" in page
    cut.refresh_from_db()
    assert cut.name == "Cut"
    assert not cut.follows.exists()


def test_hours_that_do_not_go_upward_are_refused(owner_client, job):
    task = TaskFactory(job=job)
    page = owner_client.post(reverse("labour:task_edit", args=[task.pk]), form_for(task, hours_low="3"))
    assert "go upward" in page.content.decode()


def test_a_task_is_added_at_the_end(owner_client, job):
    last, kind = TaskFactory(job=job, position=7), WorkKindFactory()
    new = Task(job=job, name="Engrave the plate", work_kind=kind)
    owner_client.post(reverse("labour:task_add", args=[job.number]), form_for(new, after=[last.pk]))
    made = job.tasks.get(name="Engrave the plate")
    assert made.position == 8
    assert [link.before for link in made.follows.all()] == [last]


def test_an_untouched_task_goes_and_hands_its_order_on(owner_client, job):
    a, b, c = (TaskFactory(job=job) for _ in range(3))
    Precedes.objects.bulk_create([Precedes(before=a, after=b), Precedes(before=b, after=c)])
    act(owner_client, "task_remove", b)
    assert network_of(job) == {a.pk: [], c.pk: [a.pk]}


def test_a_task_with_work_in_it_stays(owner_client, helper, job):
    task = TaskFactory(job=job)
    HoursEntry.start(task, helper)
    assert "has work in it" in act(owner_client, "task_remove", task).content.decode()
    assert Task.objects.filter(pk=task.pk).exists()


def test_moving_a_line_keeps_predecessors_above(owner_client, job):
    a, b, c = (TaskFactory(job=job, name=name) for name in "ABC")
    Precedes.objects.create(before=b, after=c)
    act(owner_client, "task_up", b)
    assert [task.name for task in job.tasks.all()] == ["B", "A", "C"]
    act(owner_client, "task_down", a)
    assert [task.name for task in job.tasks.all()] == ["B", "C", "A"]
    page = act(owner_client, "task_up", c)
    assert "comes after" in page.content.decode()
    assert [task.name for task in job.tasks.all()] == ["B", "C", "A"]


def test_the_workshop_role_sees_the_plan_but_does_not_redraw_it(helper_client, job):
    task = TaskFactory(job=job)
    page = sheet(helper_client, job)
    assert task.name in page
    assert job.client.name not in page
    for name in ("task_edit", "task_remove", "task_up"):
        assert helper_client.post(reverse(f"labour:{name}", args=[task.pk]), once()).status_code == 403


def test_the_sheet_costs_the_same_for_one_task_and_thirty(helper_client, job):
    spec = SpecVersionFactory(job=job)

    def plan(count):
        for _ in range(count):
            Need.objects.create(task=TaskFactory(job=job), role=SpecLineFactory(spec=spec).role)

    def cost():
        with CaptureQueriesContext(connection) as seen:
            sheet(helper_client, job)
        return len(seen)

    plan(2)
    cost()  # the first page of all also makes the workshop row
    few = cost()
    plan(28)
    assert cost() == few


def test_the_plan_draws_what_is_to_come_and_hours_by_task(helper_client):
    from tests.board.scenes import Scene

    job = Scene(parts=4).job(41, promise=20)
    page = helper_client.get(reverse("labour:plan", args=[job.number])).content.decode()
    assert 'class="picture ribbon"' in page
    assert 'class="picture bars"' in page
    assert "four in five by" in page
    assert "1.5 of 2 h, 0 left" in page


def test_each_task_says_when_it_is_planned_and_what_may_wait(owner_client):
    job = JobFactory(stage=Stage.BENCH)
    facts = {"job": job, "hours_low": 1, "hours_high": 30}
    long, short = (TaskFactory(name=name, hours_likely=hours, **facts) for name, hours in (("Long", 29), ("Short", 1)))
    last = TaskFactory(name="Last", hours_likely=2, **facts)
    Precedes.objects.bulk_create([Precedes(before=before, after=last) for before in (long, short)])
    page = owner_client.get(reverse("labour:plan", args=[job.number])).content.decode()
    assert "holds the date" in page


@pytest.mark.parametrize(
    ("hours", "says"), [(("0", "0", "0"), "takes some time"), (("1", "2", "1000"), "200")], ids=["zero", "a thousand"]
)
def test_a_task_of_zero_or_a_thousand_hours_is_refused(owner_client, hours, says):
    job = JobFactory(stage=Stage.BENCH)
    low, likely, high = hours
    kind = TaskFactory().work_kind_id
    data = {"name": "Endless", "work_kind": kind, "hours_low": low, "hours_likely": likely, "hours_high": high}
    answer = owner_client.post(reverse("labour:task_add", args=[job.number]), once(**data, version="1"))
    assert says in answer.content.decode()
    assert not job.tasks.exists()
