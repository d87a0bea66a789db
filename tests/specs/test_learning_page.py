"""The page that says which job taught what, and how to set readings aside."""

import pytest
from django.urls import reverse

from builds.checks.lessons import SoakLesson
from builds.specs.thermal import loop_document
from parts.workshop.models import AuditEntry
from tests.factories import once

from .rows import machine, queries

pytestmark = pytest.mark.django_db
PAGE = reverse("specs:learning")


def lesson(owner, coolant=31.9, **parts):
    spec = machine()
    read = {"processor block": 45.0, "graphics block": 45.2, **parts}
    reading = {"loop": loop_document(spec.loops.get()), "coolant": coolant, "node": "", "parts": read}
    return SoakLesson.objects.teach(spec.job, [reading], owner)


def test_before_the_first_it_says_what_to_do(owner_client):
    assert "Nothing learnt yet" in owner_client.get(PAGE).text


def test_jobs_factors_and_the_narrowing_are_shown(owner_client, owner):
    told = [lesson(owner, coolant) for coolant in (31.9, 32.3, 31.6)]
    answer = owner_client.get(PAGE)
    assert all(str(one.job) in answer.text for one in told)
    assert "from 3 soak tests" in answer.text
    assert answer.text.count("<svg") == 2
    before, after = next((before, after) for name, before, after in answer.context["now"] if name == "processor block")
    scatter = [float(text.split("±")[1].rstrip(" %")) for text in (before, after)]
    assert scatter[0] == 14.0, "common sd of a block before anything is learnt"
    assert scatter[1] < scatter[0]


def test_an_absurd_reading_is_shown_as_such(owner_client, owner):
    lesson(owner, coolant=60.0, **{"processor block": 73.0, "graphics block": 73.0})
    assert "looked absurd and counted for less" in owner_client.get(PAGE).text


def test_readings_that_taught_nothing_say_why(owner_client, owner):
    lesson(owner, coolant=20.0)
    answer = owner_client.get(PAGE)
    assert "Taught nothing" in answer.text
    assert "must be above 0 K" in answer.text


def test_a_lesson_is_set_aside_with_a_reason_and_taken_back(owner_client, owner):
    told = lesson(owner)
    aside = reverse("specs:aside", args=[told.pk])
    assert "Fill this in" in owner_client.post(aside, once(reason="")).text
    assert owner_client.post(aside, once(reason="a fan was turned round")).url == PAGE
    assert SoakLesson.objects.prior() == ""
    shown = owner_client.get(PAGE).text
    assert "Set aside by" in shown
    assert "a fan was turned round" in shown
    owner_client.post(reverse("specs:take_back", args=[told.pk]), once())
    assert SoakLesson.objects.prior() != ""
    assert list(AuditEntry.objects.order_by("pk").values_list("verb", flat=True))[-2:] == ["set aside", "taken back"]


def test_the_helper_reads_it_and_sets_nothing_aside(helper_client, owner):
    told = lesson(owner)
    answer = helper_client.get(PAGE)
    assert answer.status_code == 200
    assert "Set aside" not in answer.text
    assert helper_client.get(reverse("specs:aside", args=[told.pk])).status_code == 403
    assert helper_client.post(reverse("specs:take_back", args=[told.pk]), once()).status_code == 403


def test_the_page_costs_the_same_whatever_was_taught(owner_client, owner):
    lesson(owner)
    few = queries(owner_client, PAGE)
    for coolant in (31.0, 31.5, 32.0, 32.5):
        lesson(owner, coolant)
    assert queries(owner_client, PAGE) == few


def test_it_is_linked_from_loop_page_and_workshop(owner_client, owner):
    told = lesson(owner)
    for address in (reverse("specs:loop", args=[told.job.number]), reverse("workshop:settings")):
        assert f'href="{PAGE}"' in owner_client.get(address).text


def test_many_lessons_stand_on_pages(owner_client, owner):
    first = lesson(owner)
    for n in range(20):
        lesson(owner, 31.5 + n / 20)
    assert f'id="lesson-{first.pk}"' not in owner_client.get(PAGE).text
    assert f'id="lesson-{first.pk}"' in owner_client.get(PAGE, {"page": 2}).text
