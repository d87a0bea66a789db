"""The forecast is kept until something it rests on changes, or the day ends."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from builds.labour import foreseen
from builds.labour.foreseen import outlooks
from builds.labour.models import Absence, BenchWeek, HoursEntry, KeptForecast
from builds.labour.packing import packed, unpacked
from parts.orders.models import OrderLine
from parts.workshop.models import Workshop
from tests.board.scenes import Scene, days
from tests.factories import JobFactory, TaskFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def made(monkeypatch):
    """How often the forecast was made."""
    counted, make = [], foreseen._made

    def noted(*args):
        counted.append(args)
        return make(*args)

    monkeypatch.setattr(foreseen, "_made", noted)
    return counted


def test_it_is_made_once_for_every_page_that_reads_it(made):
    jobs = [Scene().job(41), JobFactory()]
    first = outlooks(jobs)
    assert outlooks(jobs) == first
    assert outlooks(jobs[:1])[jobs[0].pk] == first[jobs[0].pk]
    assert len(made) == 1
    assert KeptForecast.objects.count() == 1


def test_board_today_clock_plan_and_head_make_it_once_together(made, owner_client, owner, helper_client):
    job = Scene().job(41)
    pages = [
        reverse("board:board"), reverse("board:today"), reverse("labour:clock"),
        *(reverse(name, args=[job.number]) for name in ("labour:plan", "journal:sheet", "jobs:job")),
    ]  # fmt: skip
    for client in (owner_client, helper_client):
        for page in pages:
            assert client.get(page, follow=True).status_code == 200
    assert len(made) == 1
    assert KeptForecast.objects.count() == 1
    job.tasks.filter(done_at=None).first().finish(owner)
    for page in pages:
        owner_client.get(page)
    assert len(made) == 2
    assert KeptForecast.objects.get().day == timezone.localdate()


def test_what_was_kept_says_what_was_made():
    job = Scene().job(41)
    found = foreseen._made([job], Workshop.current(), timezone.localdate())[job.pk]
    assert unpacked(packed(found), job) == found


@pytest.mark.parametrize("what", ["done", "clock", "promise", "absence", "gone"])
def test_any_change_of_a_plan_makes_it_anew(made, owner, what):
    job = Scene().job(41)
    outlooks([job])
    task = job.tasks.filter(done_at=None).first()
    if what == "done":
        task.finish(owner)
    elif what == "clock":
        HoursEntry.start(task, owner)
    elif what == "promise":
        OrderLine.objects.first().promise(days(20), owner)
    elif what == "absence":
        Absence.enter(person=owner, first=days(1), last=days(3), note="", by=owner)
    else:
        job.tasks.last().remove(owner)
    outlooks([job])
    assert len(made) == 2


def test_a_new_day_makes_it_anew(made):
    job = Scene().job(41)
    outlooks([job])
    KeptForecast.objects.update(day=days(-1))
    outlooks([job])
    assert len(made) == 2


def test_a_running_clock_goes_on_between_two_makings(owner):
    job = JobFactory(stage="bench")
    task = TaskFactory(job=job, hours_low=2, hours_likely=4, hours_high=6)
    HoursEntry.start(task, owner)
    before = outlooks([job])[job.pk].tally
    KeptForecast.objects.update(made=timezone.now() - timedelta(hours=1))
    after = outlooks([job])[job.pk].tally
    assert (after.logged - before.logged, before.left - after.left) == pytest.approx((1, 1), abs=0.01)


def test_absence_and_a_persons_own_week_move_the_date(owner):
    job = JobFactory(stage="bench")
    TaskFactory(job=job, hours_low=4, hours_likely=4, hours_high=4)
    assert outlooks([job])[job.pk].forecast.day <= days(2)
    BenchWeek.objects.create(person=owner, **dict.fromkeys(("monday", "tuesday", "wednesday", "thursday", "friday"), 8))
    Absence.enter(person=owner, first=days(0), last=days(20), note="away", by=owner)
    assert outlooks([job])[job.pk].forecast.day > days(20)


def test_public_holidays_of_the_region_are_closed_days():
    from builds.labour.bench_time import closed_days

    # England 2026, as gov.uk lists them: 1 Jan, 3 and 6 Apr, 4 and 25 May, 31 Aug, 25 and 28 Dec.
    found = sorted((day.month, day.day) for day in closed_days("GB-ENG", range(2026, 2027)) if day.weekday() < 5)
    assert found == [(1, 1), (4, 3), (4, 6), (5, 4), (5, 25), (8, 31), (12, 25), (12, 28)]
    assert not closed_days("", range(2026, 2027))
