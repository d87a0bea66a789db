"""The night the clocks change: hours are what really passed. London 2026: 29 March 01:00 → 02:00, 25 October 2025 back.

Outside check: the zone database through zoneinfo (EU Directive 2000/84: last Sunday of March and October, 01:00 UTC).
"""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse

from builds.jobs.models import Stage
from builds.labour.models import HoursEntry
from tests.factories import JobFactory, TaskFactory, once

pytestmark = pytest.mark.django_db
LONDON = ZoneInfo("Europe/London")


@pytest.fixture
def task():
    return TaskFactory(job=JobFactory(stage=Stage.BENCH))


def enter(client, task, start, end="", length=""):
    return client.post(
        reverse("labour:hours_add"), once(task=task.pk, started_at=start, ended_at=end, length=length, note="")
    )


@pytest.mark.parametrize(
    ("start", "end", "hours"),
    [
        ("2026-03-28T23:30", "2026-03-29T03:30", 3),  # an hour is left out
        ("2025-10-25T23:30", "2025-10-26T03:30", 5),  # an hour comes twice
        ("2026-03-27T23:30", "2026-03-28T03:30", 4),
    ],
)
def test_a_night_counts_what_passed(helper_client, task, start, end, hours):
    assert enter(helper_client, task, start, end).status_code == 302
    entry = HoursEntry.objects.get()
    passed = [datetime.fromisoformat(text).replace(tzinfo=LONDON).astimezone(UTC) for text in (start, end)]
    assert entry.length == passed[1] - passed[0] == timedelta(hours=hours)
    assert entry.hours == Decimal(hours)


def test_a_length_ends_by_the_new_clock(helper_client, task):
    enter(helper_client, task, "2026-03-29T00:30", length="2:00")
    ended = HoursEntry.objects.get().ended_at.astimezone(LONDON)
    assert (ended.hour, ended.minute) == (3, 30)


@pytest.mark.parametrize("start", ["2026-03-29T01:30", "2025-10-26T01:30"])
def test_a_time_that_was_left_out_or_came_twice_is_refused_in_words(helper_client, task, start):
    answer = enter(helper_client, task, start, length="1:00")
    assert "The clocks changed that night" in answer.content.decode()
    assert not HoursEntry.objects.exists()


def test_a_correction_shows_its_history(helper_client, helper, task):
    enter(helper_client, task, "2026-03-02T09:00", "2026-03-02T10:00")
    entry = HoursEntry.objects.get()
    other = TaskFactory(job=task.job, name="Rinse")
    address = reverse("labour:hours_edit", args=[entry.pk])
    data = {"task": other.pk, "started_at": "2026-03-02T09:00", "ended_at": "2026-03-02T11:15", "length": ""}
    helper_client.post(address, once(**data, note="cut again", version=entry.version))
    page = helper_client.get(address).content.decode()
    assert "logged hours" in page
    assert "corrected hours" in page
    assert "<s>Mon 2 Mar 10:00</s> Mon 2 Mar 11:15" in page
    assert f"<s>{task.job} {task.name}</s> {task.job} Rinse" in page
