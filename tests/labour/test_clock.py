from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from threading import Barrier

import pytest
from django.db import connection
from django.urls import reverse
from django.utils import timezone

from builds.jobs.models import Stage
from builds.labour.models import HoursEntry
from parts.workshop.models import AuditEntry
from parts.workshop.refusal import Refused
from tests.factories import JobFactory, TaskFactory, once

pytestmark = pytest.mark.django_db


def press(client, task):
    return client.post(reverse("labour:clock_start", args=[task.pk]), once(), follow=True)


def stop(client):
    return client.post(reverse("labour:clock_stop"), once(), follow=True)


def ran(person, task, hours):
    return HoursEntry.objects.create(task=task, person=person, started_at=timezone.now() - timedelta(hours=hours))


def test_start_and_stop_with_two_presses(helper_client, helper):
    task = TaskFactory()
    press(helper_client, task)
    entry = HoursEntry.objects.get()
    assert (entry.task, entry.person, entry.ended_at) == (task, helper, None)
    HoursEntry.objects.update(started_at=timezone.now() - timedelta(minutes=102))
    page = stop(helper_client)
    assert "1:42 on" in page.content.decode()
    assert float(HoursEntry.objects.get().hours) == pytest.approx(1.7, abs=0.01)


def test_starting_on_another_task_stops_the_first_at_that_moment(helper_client, helper):
    first, second = TaskFactory(), TaskFactory()
    ran(helper, first, hours=1)
    page = press(helper_client, second)
    old, new = HoursEntry.objects.order_by("started_at")
    assert old.ended_at == new.started_at
    assert new.ended_at is None
    assert "Stopped" in page.content.decode()


def test_pressing_start_again_on_the_same_task_changes_nothing(helper_client, helper):
    task = TaskFactory()
    entry = ran(helper, task, hours=1)
    press(helper_client, task)
    assert list(HoursEntry.objects.all()) == [entry]


def test_two_people_may_work_on_one_task(owner, helper):
    task = TaskFactory()
    HoursEntry.start(task, owner)
    HoursEntry.start(task, helper)
    assert HoursEntry.objects.running().count() == 2


def test_a_double_press_has_one_effect(helper_client):
    task, mark = TaskFactory(), once()
    for _ in range(2):
        helper_client.post(reverse("labour:clock_start", args=[task.pk]), mark)
    assert HoursEntry.objects.count() == 1


def test_a_forgotten_clock_asks_when_the_work_ended_and_never_guesses(helper_client, helper):
    entry = ran(helper, TaskFactory(), hours=13)
    page = stop(helper_client)
    assert page.redirect_chain[-1][0] == reverse("labour:hours_edit", args=[entry.pk])
    assert "really ended" in page.content.decode()
    entry.refresh_from_db()
    assert entry.ended_at is None
    with pytest.raises(Refused, match="really ended"):
        entry.stop(helper)


def test_one_press_stops_the_clock_and_marks_the_task_done(helper_client, helper):
    job = JobFactory(stage=Stage.BENCH)
    cut, rinse = TaskFactory(job=job, name="Cut"), TaskFactory(job=job, name="Rinse")
    ran(helper, cut, hours=1)
    page = helper_client.get(reverse("labour:clock")).content.decode()
    assert reverse("labour:task_done", args=[cut.pk]) in page
    assert "Logged today: 1:00" in page, "the clock that runs counts so far"
    came_from = {"referer": "http://testserver" + reverse("labour:clock")}
    done = helper_client.post(reverse("labour:task_done", args=[cut.pk]), once(), headers=came_from, follow=True)
    assert done.redirect_chain[-1][0].endswith(reverse("labour:clock"))
    assert "“Cut” is done." in done.content.decode()
    assert reverse("labour:clock_start", args=[rinse.pk]) in done.content.decode()
    assert not HoursEntry.objects.running().exists()
    cut.refresh_from_db()
    assert cut.is_done


def test_a_clock_left_over_a_weekend_counts_nothing_until_its_end_is_said(helper_client, helper):
    task = TaskFactory(name="Re-tap", hours_likely=4)
    entry = ran(helper, task, hours=65)
    assert "Say when it ended" in helper_client.get(reverse("labour:hours")).content.decode()
    assert "over twelve hours" in helper_client.get(reverse("labour:clock")).content.decode()
    began = timezone.localtime(entry.started_at)
    told = once(task=task.pk, started_at=f"{began:%Y-%m-%dT%H:%M}", ended_at="", length="", note="", version=1)
    page = helper_client.post(reverse("labour:hours_edit", args=[entry.pk]), told).content.decode()
    assert "Say when the work ended" in page
    helper_client.post(
        reverse("labour:hours_edit", args=[entry.pk]), {**told, **once(), "length": "2:30", "version": entry.version}
    )
    entry.refresh_from_db()
    assert entry.hours == 2.5


def test_starting_beside_a_forgotten_clock_asks_first(helper_client, helper):
    entry = ran(helper, TaskFactory(), hours=13)
    page = press(helper_client, TaskFactory())
    assert page.redirect_chain[-1][0] == reverse("labour:hours_edit", args=[entry.pk])
    assert HoursEntry.objects.count() == 1


def test_a_done_task_and_a_closed_job_start_no_clock(helper):
    done = TaskFactory(done_at=timezone.now())
    with pytest.raises(Refused, match="is done"):
        HoursEntry.start(done, helper)
    closed = TaskFactory(job=JobFactory(stage=Stage.HANDED_OVER))
    with pytest.raises(Refused, match="service job"):
        HoursEntry.start(closed, helper)


def test_the_first_work_on_an_agreed_job_brings_it_to_the_bench(helper):
    job = JobFactory(stage=Stage.GATHERING)
    HoursEntry.start(TaskFactory(job=job), helper)
    job.refresh_from_db()
    assert job.stage == Stage.BENCH
    quoted = JobFactory(stage=Stage.QUOTED)
    HoursEntry.start(TaskFactory(job=quoted), helper)
    quoted.refresh_from_db()
    assert quoted.stage == Stage.QUOTED, "a trial before agreement moves nothing"


def test_both_presses_are_written_down(helper):
    entry, _none = HoursEntry.start(TaskFactory(), helper)
    entry.stop(helper)
    assert list(AuditEntry.objects.values_list("verb", flat=True)) == ["stopped the clock", "started the clock"]


def test_stopping_when_nothing_runs_says_so(helper_client):
    assert "No clock is running" in stop(helper_client).content.decode()


def test_the_clock_page_offers_what_is_ready_and_what_was_worked_on_last_first(helper_client, helper):
    job = JobFactory(stage=Stage.BENCH)
    *_rest, other = [TaskFactory(job=job, name=name) for name in ("Cut", "Rinse", "Cables")]
    TaskFactory(job=job, name="Old", done_at=timezone.now())
    entry = ran(helper, other, hours=2)
    entry.stop(helper)
    page = helper_client.get(reverse("labour:clock")).content.decode()
    assert page.index("Cables") < page.index("Cut") < page.index("Rinse")
    assert "Old" not in page


def test_the_running_clock_stands_on_every_page(helper_client, helper):
    task = TaskFactory(name="Bend the graphics runs")
    ran(helper, task, hours=1.5)
    page = helper_client.get(reverse("labour:hours")).content.decode()
    assert "Bend the graphics runs" in page
    assert "1:30" in page


@pytest.mark.django_db(transaction=True)
def test_two_presses_at_the_same_moment_leave_one_clock(helper):
    tasks = [TaskFactory(), TaskFactory()]
    together = Barrier(2)

    def press_start(task):
        try:
            together.wait()
            HoursEntry.start(task, helper)
        finally:
            connection.close()

    with ThreadPoolExecutor(2) as hands:
        list(hands.map(press_start, tasks))
    assert HoursEntry.objects.running().count() == 1
    assert HoursEntry.objects.count() == 2
