from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from builds.handover.models import CareDate
from builds.jobs.models import Job, Stage
from builds.labour.models import HoursEntry
from builds.quotes.bills import Bill
from builds.quotes.models import StagePayment
from parts.orders.models import OrderLine
from tests.board.scenes import Scene, days
from tests.board.test_board import cost, offered
from tests.factories import JobFactory, TaskFactory

pytestmark = pytest.mark.django_db


def page(client):
    return client.get(reverse("board:today")).content.decode()


def test_an_empty_day_says_what_to_do_first(owner_client):
    assert "Open the first enquiry" in page(owner_client)


def test_ready_tasks_stand_in_the_order_that_protects_promises(helper_client):
    for name, promise in (("calm", 60), ("pressing", 1)):
        TaskFactory(name=name, job=JobFactory(stage=Stage.BENCH, promise=days(promise)), caution=f"mind the {name}")
    TaskFactory(name="resting", job=JobFactory(stage=Stage.BENCH, paused_because="no room"))
    today = page(helper_client)
    assert today.index("pressing") < today.index("calm")
    assert "mind the calm" in today
    assert "resting" not in today


def test_arrivals_to_come_and_late_ones(helper_client):
    Scene(parts=4).job(41)
    line = OrderLine.objects.get()
    OrderLine.objects.update(promised=days(3))
    assert "2 × Part 2 of the scene" in page(helper_client)
    assert "for J-0041" in page(helper_client)
    OrderLine.objects.update(promised=days(-2))
    late = page(helper_client)
    assert "<h2>Late</h2>" in late
    assert str(line.order) in late


def test_what_comes_later_than_a_week_waits(helper_client):
    Scene(parts=4).job(41)
    OrderLine.objects.update(promised=days(30))
    assert "Nothing is expected within a week" in page(helper_client)


def test_running_clocks_of_everybody(owner_client, helper):
    task = TaskFactory(name="Bend runs")
    HoursEntry.objects.create(task=task, person=helper, started_at=timezone.now() - timedelta(minutes=72))
    today = page(owner_client)
    assert "Bend runs" in today
    assert "1:12" in today


def test_quotes_that_lapse_and_money_are_the_owners(owner_client, helper_client):
    offered("sent", days(3))
    Scene().job(41)
    assert "Q-0052 issue 2" in page(owner_client)
    assert "1,240.00" in page(owner_client)
    for word in ("Q-0052", "1,240.00", "Client of the scene", "To be paid"):
        assert word not in page(helper_client)


def test_money_still_open_of_a_machine_that_left_is_not_forgotten(owner_client, helper_client, owner):
    """What nobody billed, and what was billed and not paid; settled or lost jobs say nothing."""
    scene = Scene()
    unbilled, billed, paid, lost = (scene.job(number) for number in range(61, 65))
    for job in (billed, paid):
        bill = Bill.objects.create(
            job=job, number=job.number, currency="EUR", amount=1240, due_on=days(14),
            stage_payment=StagePayment.objects.get(issue__quote__job=job),
        )  # fmt: skip
        bill.payments.create(amount=1240 if job == paid else 240, person=owner)
    Job.objects.exclude(pk=lost.pk).update(stage=Stage.HANDED_OVER, handed_over_at=timezone.now())
    Job.objects.filter(pk=lost.pk).update(stage=Stage.LOST)
    today = page(owner_client)
    owed = [today[today.index(str(job)) :][:400] for job in (unbilled, billed)]
    assert "1,240.00" in owed[0]
    assert "1,000.00" in owed[1]
    for job in (paid, lost):
        assert str(job) not in today
    assert str(unbilled) not in page(helper_client)


def test_care_due_within_a_month(helper_client):
    job = JobFactory(stage=Stage.HANDED_OVER)
    CareDate.objects.create(job=job, due=days(10), what="change the coolant")
    CareDate.objects.create(job=job, due=days(100), what="far off")
    CareDate.objects.create(job=job, due=days(5), what="seen to", done_on=days(0))
    today = page(helper_client)
    assert "change the coolant" in today
    assert "far off" not in today
    assert "seen to" not in today


def test_any_number_of_jobs_costs_the_same(owner_client):
    scene = Scene()
    for number in range(1, 4):
        scene.job(number)
    few = cost(owner_client, reverse("board:today"))
    for number in range(4, 41):
        scene.job(number)
    assert cost(owner_client, reverse("board:today")) == few
    assert Job.objects.count() == 40
