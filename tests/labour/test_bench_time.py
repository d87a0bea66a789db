"""Who is at the bench when: the owner's page."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from builds.labour.foreseen import outlooks
from builds.labour.models import Absence, BenchWeek
from parts.workshop.models import AuditEntry
from tests.board.scenes import days
from tests.factories import TaskFactory, once

pytestmark = pytest.mark.django_db


def away(client, person, first, last):
    return client.post(
        reverse("labour:bench_time"), once(who=person.pk, first=first.isoformat(), last=last.isoformat(), note="fair")
    )


def test_days_away_are_written_down_and_taken_back(owner_client, helper):
    assert away(owner_client, helper, days(3), days(9)).status_code == 302
    one = Absence.objects.get()
    assert "fair" in owner_client.get(reverse("labour:bench_time")).content.decode()
    owner_client.post(reverse("labour:absence_remove", args=[one.pk]), once())
    assert not Absence.objects.exists()
    assert AuditEntry.objects.filter(about__startswith="absence").count() == 2


def test_days_that_go_backward_are_refused_at_their_field(owner_client, helper):
    answer = away(owner_client, helper, days(9), days(3))
    assert "lies before the first" in answer.content.decode()
    assert not Absence.objects.exists()


def test_a_persons_own_week_replaces_the_even_share(owner_client, helper):
    address = reverse("labour:bench_week", args=[helper.pk])
    week = {"monday": "4", "tuesday": "7,5", "wednesday": "0", "thursday": "0", "friday": "6", "saturday": "0"}
    owner_client.post(address, once(**week, sunday="0", version="1"))
    assert BenchWeek.objects.get().hours[:2] == [Decimal("4"), Decimal("7.5")]
    assert "17.5" in owner_client.get(reverse("labour:bench_time")).content.decode()


def test_more_hours_than_a_day_has_are_refused(owner_client, helper):
    address = reverse("labour:bench_week", args=[helper.pk])
    answer = owner_client.post(address, once(**dict.fromkeys(("monday", "tuesday"), "25"), version="1"))
    assert "16" in answer.content.decode()
    assert not BenchWeek.objects.exists()


def test_the_page_is_the_owners(helper_client):
    assert helper_client.get(reverse("labour:bench_time")).status_code == 403


def test_a_one_person_workshop_away_for_long_still_has_a_board(owner_client, owner):
    """The work is laid out behind the absence; the years ahead were once all of the axis, and the board broke."""
    task = TaskFactory(hours_low=2, hours_likely=4, hours_high=6)
    for last in (days(400), days(3600)):
        Absence.enter(person=owner, first=days(0), last=last, note="", by=owner)
        assert owner_client.get(reverse("board:board")).status_code == 200
        told = outlooks([task.job])[task.job_id].forecast
        assert last < told.day <= last + timedelta(days=21), "ready soon after the return, and not before"
