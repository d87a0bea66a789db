from datetime import date, datetime, timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from builds.jobs.models import Job
from builds.labour.models import HoursEntry, Need, Precedes
from builds.labour.readiness import task_states
from parts.orders.models import Arrival, Order, OrderLine, Share
from parts.shelf.models import Move, Stock, Tray
from tests.factories import (
    JobFactory,
    PartFactory,
    PlaceFactory,
    RoleFactory,
    SpecLineFactory,
    SpecVersionFactory,
    SupplierFactory,
    SupplierPriceFactory,
    TaskFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def job():
    return JobFactory()


def agreed(job, number=1):
    return SpecVersionFactory(job=job, number=number, agreed_at=timezone.now() + timedelta(minutes=number))


def put(part, tray, quantity):
    return Stock.objects.create(part=part, place=PlaceFactory(), tray=tray, quantity=quantity)


def order(part, tray, quantity, promised=date(2030, 12, 5), number=1, **order_facts):
    facts = {"placed_at": timezone.make_aware(datetime(2030, 11, 1, 9)), **order_facts}
    made = Order.objects.create(number=number, supplier=SupplierFactory(lead_days=10), **facts)
    line = OrderLine.objects.create(order=made, part=part, quantity=quantity, unit_price=1, promised=promised)
    return Share.objects.create(line=line, tray=tray, quantity=quantity)


def needing(job, quantity=1, **line_facts):
    """A task of a job that needs one role of its agreed spec."""
    line = SpecLineFactory(spec=agreed(job), quantity=quantity, **line_facts)
    task = TaskFactory(job=job)
    Need.objects.create(task=task, role=line.role)
    return task, line


def the_state(job):
    (state,) = task_states([job])[job.pk]
    return state


def test_a_task_is_ready_when_its_parts_lie_in_the_jobs_tray(job):
    _task, line = needing(job, quantity=2)
    put(line.part, job.tray, 1)
    put(line.part, job.tray, 1)
    assert the_state(job).state == "ready"


def test_parts_on_the_free_shelf_or_in_another_tray_do_not_count(job):
    _task, line = needing(job)
    put(line.part, Tray.free_shelf(), 5)
    put(line.part, JobFactory().tray, 5)
    assert the_state(job).state == "waits for part"


def test_a_missing_part_says_when_it_is_expected(job):
    _task, line = needing(job, quantity=2)
    order(line.part, job.tray, 2)
    (missing,) = the_state(job).missing
    assert (missing.role, missing.quantity, missing.due) == (line.role.name, 2, date(2030, 12, 5))


def test_a_part_nobody_ordered_has_no_date_but_the_cheapest_suppliers_lead_time(job):
    _task, line = needing(job)
    SupplierPriceFactory(part=line.part, price=30, pack_size=1, lead_days=3)
    SupplierPriceFactory(part=line.part, price=40, pack_size=2, lead_days=None, supplier__lead_days=21)
    (missing,) = the_state(job).missing
    assert (missing.due, missing.ordered, missing.claim.lead_days) == (None, False, 21)


def test_an_order_not_yet_placed_or_cancelled_brings_nothing(job):
    _task, line = needing(job)
    order(line.part, job.tray, 1, placed_at=None)
    order(line.part, job.tray, 1, number=2, cancelled_at=timezone.now())
    assert the_state(job).missing[0].ordered is False


def test_what_has_come_is_no_longer_expected(job, owner):
    _task, line = needing(job, quantity=3)
    share = order(line.part, job.tray, 3)
    stock = put(line.part, job.tray, 2)
    move = Move.objects.create(part=line.part, target=stock, quantity=2, reason="came")
    Arrival.objects.create(line=share.line, quantity=2, person=owner).moves.add(move)
    (missing,) = the_state(job).missing
    assert (missing.quantity, missing.ordered) == (1, True)
    line.quantity = 4
    line.save()
    assert the_state(job).missing[0].ordered is False, "one more is needed than is still to come"


def test_the_agreed_version_counts_not_the_one_being_drawn(job):
    _task, line = needing(job, quantity=1)
    put(line.part, job.tray, 1)
    drawn = SpecVersionFactory(job=job, number=2)
    SpecLineFactory(spec=drawn, role=line.role, part=PartFactory(kind=line.part.kind), quantity=9)
    assert the_state(job).state == "ready"


def test_before_agreement_the_newest_version_counts(job):
    role = RoleFactory(job=job)
    SpecLineFactory(spec=SpecVersionFactory(job=job, number=1), role=role, quantity=1)
    newest = SpecLineFactory(spec=SpecVersionFactory(job=job, number=2), role=role, quantity=4)
    Need.objects.create(task=TaskFactory(job=job), role=role)
    (missing,) = the_state(job).missing
    assert (missing.quantity, missing.claim.part) == (4, newest.part.name)


def test_a_role_that_fell_out_of_the_spec_holds_nothing_up(job):
    agreed(job)
    Need.objects.create(task=TaskFactory(job=job), role=RoleFactory(job=job))
    assert the_state(job).state == "ready"


def test_a_part_for_two_tasks_is_needed_once(job):
    _task, line = needing(job)
    Need.objects.create(task=TaskFactory(job=job), role=line.role)
    put(line.part, job.tray, 1)
    assert [s.state for s in task_states([job])[job.pk]] == ["ready", "ready"]


def test_a_task_waits_for_the_one_before_it(job):
    first, second = TaskFactory(job=job), TaskFactory(job=job)
    Precedes.objects.create(before=first, after=second)
    assert [s.state for s in task_states([job])[job.pk]] == ["ready", "waits for task"]
    first.done_at = timezone.now()
    first.save()
    assert [s.state for s in task_states([job])[job.pk]] == ["done", "ready"]


def test_somebodys_clock_shows(job, helper):
    HoursEntry.objects.create(
        task=TaskFactory(job=job), person=helper, started_at=timezone.now() - timedelta(minutes=30)
    )
    state = the_state(job)
    assert state.state == "running"
    assert state.task.logged >= 0.5


def test_any_number_of_jobs_costs_the_same(owner):
    def fill(count):
        for _ in range(count):
            job = JobFactory()
            task, line = needing(job, quantity=Decimal(2))
            order(line.part, job.tray, 1, number=job.number)
            put(line.part, job.tray, 1)
            Precedes.objects.create(before=task, after=TaskFactory(job=job))

    def cost():
        jobs = list(Job.objects.all())
        with CaptureQueriesContext(
            connection,
        ) as seen:
            assert len(task_states(jobs)) == len(jobs)
        return len(seen)

    fill(2)
    few = cost()
    fill(8)
    assert cost() == few == 6
