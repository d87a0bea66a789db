"""The checks sheet: every finding with rule and source; waivers by the owner."""

import pytest
from django.urls import reverse

from builds.checks.models import Waiver
from builds.specs.sanity import open_stops
from tests.factories import JobFactory, once

from .rows import machine

pytestmark = pytest.mark.django_db


def page(job, name="checks", *args):
    return reverse(f"specs:{name}", args=[job.number, *args])


@pytest.fixture
def spec():
    return machine(**{"front radiator": {"thickness": 60.0}})


def test_findings_stand_with_rule_and_source(owner_client, spec):
    text = owner_client.get(page(spec.job)).text
    assert text.index("Stops") < text.index("Notes")
    assert "85 mm deep" in text
    assert "geometry; the margin is common practice" in text


def test_an_empty_job_has_nothing_to_check(owner_client):
    assert "Nothing to check yet" in owner_client.get(page(JobFactory())).text


def test_the_owner_waives_with_a_reason_and_takes_it_back(owner_client, spec):
    stop = open_stops(spec)[0]
    url = page(spec.job, "waive", stop.fingerprint)
    refused = owner_client.post(url, once(reason="   "))
    assert "reason" in refused.context["form"].errors
    owner_client.post(url, once(reason="Measured: the grille comes off."))
    text = owner_client.get(page(spec.job)).text
    assert "Measured: the grille comes off." in text
    assert open_stops(spec) == []
    owner_client.post(page(spec.job, "withdraw", Waiver.objects.get().pk), once())
    assert open_stops(spec)


def test_a_waiver_whose_numbers_changed_is_shown_as_void(owner_client, spec):
    stop = open_stops(spec)[0]
    owner_client.post(page(spec.job, "waive", stop.fingerprint), once(reason="Fits."))
    spec.lines.get(role__name="front radiator").part.facts.filter(name="thickness").update(number=61.0)
    text = owner_client.get(page(spec.job)).text
    assert "no longer hold" in text
    assert "86 mm deep" in text


def test_a_finding_that_is_not_there_cannot_be_waived(owner_client, spec):
    assert owner_client.get(page(spec.job, "waive", "0" * 64)).status_code == 404


def test_the_helper_reads_the_checks_but_waives_nothing(helper_client, spec):
    text = helper_client.get(page(spec.job)).text
    assert "85 mm deep" in text
    assert "Waive it" not in text
    assert helper_client.get(page(spec.job, "waive", open_stops(spec)[0].fingerprint)).status_code == 403


def test_missing_facts_are_gathered_by_part(owner_client, spec):
    spec.lines.get(role__name="main board").part.facts.all().delete()
    context = owner_client.get(page(spec.job)).context
    wanted = {one.part: one for one in context["wanted"]}
    board = wanted[f"Saltmarsh main board {spec.job.number}"]
    assert {"board size", "socket"} <= set(board.facts)
