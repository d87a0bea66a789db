from datetime import datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from builds.jobs.models import Stage
from builds.labour.models import HoursEntry
from parts.workshop.models import AuditEntry
from tests.factories import JobFactory, TaskFactory, once

pytestmark = pytest.mark.django_db


@pytest.fixture
def task():
    return TaskFactory(name="Re-tap", job=JobFactory(stage=Stage.BENCH))


def at(hour, minute=0, day=2, second=0):
    """A moment of a past winter week, when Europe/London keeps UTC."""
    return timezone.make_aware(datetime(2025, 12, day, hour, minute, second))


def stretch(task, person, start, end, **more):
    return HoursEntry.objects.create(task=task, person=person, started_at=start, ended_at=end, **more)


def typed(task, start="2025-12-02T09:00", end="", length="", **more):
    return once(task=task.pk, started_at=start, ended_at=end, length=length, note="", **more)


def enter(client, task, **data):
    return client.post(reverse("labour:hours_add"), typed(task, **data))


def correct(client, entry, **data):
    fields = {"start": "2025-12-02T09:00", "end": "2025-12-02T10:00", "version": entry.version} | data
    return client.post(reverse("labour:hours_edit", args=[entry.pk]), typed(entry.task, **fields))


@pytest.mark.parametrize(
    ("given", "until"),
    [
        ({"end": "2025-12-02T10:30"}, at(10, 30)),
        ({"length": "1:30"}, at(10, 30)),
        ({"length": "1,5 h"}, at(10, 30)),
        ({"length": "90 min"}, at(10, 30)),
        ({"start": "2025-12-02T22:30", "length": "3 h"}, at(1, 30, day=3)),
    ],
)
def test_a_stretch_is_entered_with_its_end_or_its_length(helper_client, helper, task, given, until):
    assert enter(helper_client, task, **given).status_code == 302
    entry = HoursEntry.objects.get()
    assert (entry.person, entry.ended_at) == (helper, until)
    assert AuditEntry.objects.filter(verb="logged hours", person=helper).exists()


def test_a_length_alone_counts_back_from_now(helper_client, task):
    assert enter(helper_client, task, start="", length="1:30").status_code == 302
    entry = HoursEntry.objects.get()
    assert entry.hours == 1.5
    assert timezone.now() - entry.ended_at < timedelta(minutes=1)


def test_a_length_and_an_end_say_the_beginning(helper_client, task):
    enter(helper_client, task, start="", end="2025-12-02T10:30", length="90 min")
    assert HoursEntry.objects.get().started_at == at(9)


def test_a_length_that_reaches_back_into_another_stretch_is_refused(helper_client, helper, task):
    now = timezone.now()
    stretch(task, helper, now - timedelta(hours=2), now - timedelta(hours=1))
    assert enter(helper_client, task, start="", length="1:30").status_code == 200
    assert HoursEntry.objects.count() == 1


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"start": ""}, "Say when the work began"),
        ({"start": "", "end": "2025-12-02T08:00"}, "Say when the work began"),
        ({"end": "2025-12-02T08:00"}, "ends before it starts"),
        ({"start": "2999-01-01T08:00", "length": "1"}, "has not begun yet"),
        ({}, "Say when the work ended"),
        ({"length": "a while"}, "no length of time"),
        ({"length": "90"}, "more than a day"),
        ({"length": "-1"}, "how long"),
        ({"end": "2025-12-04T10:00"}, "more than a day at a stretch"),
        ({"end": "2025-12-02T10:00", "length": "2"}, "not both"),
        ({"start": "yesterday"}, "valid date"),
    ],
)
def test_what_cannot_have_been_is_refused_at_its_field_and_nothing_is_lost(helper_client, task, given, says):
    page = enter(helper_client, task, **given)
    assert page.status_code == 200
    assert says in page.content.decode()
    assert not HoursEntry.objects.exists()
    for value in given.values():
        assert value in page.content.decode()


def test_an_end_in_the_future_is_refused(helper_client, task):
    soon = timezone.localtime() + timedelta(hours=1)
    page = enter(helper_client, task, start=f"{soon - timedelta(hours=2):%Y-%m-%dT%H:%M}", end=f"{soon:%Y-%m-%dT%H:%M}")
    assert "not over yet" in page.content.decode()


def test_two_stretches_at_once_are_refused_naming_the_other(helper_client, helper, task):
    stretch(TaskFactory(name="Cables"), helper, at(9, 30), at(11))
    page = enter(helper_client, task, length="2").content.decode()
    assert "Cables" in page
    assert "09:30" in page
    assert HoursEntry.objects.count() == 1


def test_stretches_may_touch_and_other_peoples_do_not_matter(helper_client, owner, helper, task):
    stretch(task, helper, at(8), at(9, 0, second=42))
    stretch(task, owner, at(9), at(12))
    assert enter(helper_client, task, length="1").status_code == 302
    assert HoursEntry.objects.filter(person=helper).latest("started_at").started_at == at(9, 0, second=42)


def test_a_running_clock_counts_as_until_now(helper_client, helper, task):
    HoursEntry.objects.create(task=task, person=helper, started_at=timezone.now() - timedelta(hours=2))
    start = timezone.localtime() - timedelta(hours=1)
    page = enter(helper_client, task, start=f"{start:%Y-%m-%dT%H:%M}", length="0:10")
    assert "until now" in page.content.decode()


def test_a_correction_keeps_what_stood_before(helper_client, helper, task):
    entry = stretch(task, helper, at(9), at(12))
    correct(helper_client, entry, end="2025-12-02T11:00")
    entry.refresh_from_db()
    assert entry.ended_at == at(11)
    trail = AuditEntry.objects.get(verb="corrected hours")
    assert trail.before["until"].startswith("2025-12-02T12:00")
    assert trail.after["until"].startswith("2025-12-02T11:00")


def test_seconds_nobody_touched_stay(helper_client, helper, task):
    before = stretch(task, helper, at(8), at(9, 0, second=30))
    entry = stretch(task, helper, at(9, 0, second=30), at(10, 0, second=50))
    assert correct(helper_client, entry).status_code == 302
    entry.refresh_from_db()
    assert (entry.started_at, entry.ended_at) == (before.ended_at, at(10, 0, second=50))


def test_a_forgotten_clock_is_ended_by_its_correction_and_not_without_an_end(helper_client, helper, task):
    entry = HoursEntry.objects.create(task=task, person=helper, started_at=at(9))
    assert "Say when the work ended" in correct(helper_client, entry, end="").content.decode()
    assert correct(helper_client, entry, end="2025-12-02T17:00").status_code == 302
    entry.refresh_from_db()
    assert entry.ended_at == at(17)


def test_the_workshop_role_logs_and_corrects_its_own_hours_only(helper_client, owner, helper, task):
    entry = stretch(task, owner, at(9), at(12), note="the owner's own")
    assert correct(helper_client, entry).status_code == 404
    assert helper_client.post(reverse("labour:hours_remove", args=[entry.pk]), once()).status_code == 404
    enter(helper_client, task, length="1", who=owner.pk)
    assert HoursEntry.objects.latest("pk").person == helper, "a slipped-in name is not heard"
    assert "the owner&#x27;s own" not in helper_client.get(reverse("labour:hours")).content.decode()


def test_the_owner_corrects_everybodys_and_enters_for_others(owner_client, owner, helper, task):
    entry = stretch(task, helper, at(13), at(15))
    assert correct(owner_client, entry, start="2025-12-02T13:00", end="2025-12-02T14:00").status_code == 302
    assert enter(owner_client, task, length="1", who=helper.pk).status_code == 302
    assert HoursEntry.objects.filter(person=helper).count() == 2
    assert not HoursEntry.objects.filter(person=owner).exists()


def test_a_stale_correction_is_shown_the_other_one(owner_client, helper, task):
    entry = stretch(task, helper, at(13), at(15))
    page = correct(owner_client, entry, version=entry.version + 5).content.decode()
    assert "Somebody changed this" in page


def test_an_entry_taken_out_stays_in_the_trail(helper_client, helper, task):
    entry = stretch(task, helper, at(9), at(12), note="by hand")
    helper_client.post(reverse("labour:hours_remove", args=[entry.pk]), once())
    assert not HoursEntry.objects.exists()
    assert AuditEntry.objects.get(verb="removed hours").before["note"] == "by hand"


def test_hours_can_go_over_to_another_jobs_task(helper_client, helper, task):
    entry = stretch(TaskFactory(), helper, at(9), at(10))
    page = helper_client.post(
        reverse("labour:hours_edit", args=[entry.pk]), typed(task, end="2025-12-02T10:00", version=entry.version)
    )
    assert page.status_code == 302
    entry.refresh_from_db()
    assert entry.task == task


def test_the_list_sums_each_day(helper_client, helper, task):
    stretch(task, helper, at(9), at(10, 30))
    stretch(task, helper, at(11), at(12))
    assert "2:30 h" in helper_client.get(reverse("labour:hours")).content.decode()


def test_the_list_costs_the_same_for_one_and_many(helper_client, helper):
    def cost():
        with CaptureQueriesContext(connection) as seen:
            helper_client.get(reverse("labour:hours"))
        return len(seen)

    stretch(TaskFactory(), helper, at(9), at(10))
    cost()  # the first page of all also makes the workshop row
    one = cost()
    for day in range(3, 23):
        stretch(TaskFactory(), helper, at(9, day=day), at(10, day=day))
    assert cost() == one
