"""How a job moves: forward only, from where it stands by now, whoever looked at it earlier."""

import pytest

from builds.jobs.forms import BriefForm
from builds.jobs.models import Job, Stage
from parts.workshop.models import Once
from parts.workshop.refusal import Refused
from tests.factories import JobFactory

pytestmark = pytest.mark.django_db


def seen_twice():
    """A job as two people have it before them."""
    job = JobFactory(stage=Stage.GATHERING)
    return job, Job.objects.get(pk=job.pk)


def test_a_brief_that_is_saved_late_takes_no_stage_back(owner):
    mine, theirs = seen_twice()
    form = BriefForm(
        {"once": Once.fresh(), "version": 1, "title": "quiet tower", "client": mine.client_id},
        instance=mine, person=owner,
    )  # fmt: skip
    assert form.is_valid(), form.errors
    theirs.reach(Stage.BENCH, owner)
    theirs.pause("waits for the case", owner)
    assert form.store()
    now = Job.objects.get(pk=mine.pk)
    assert (now.title, now.stage, now.paused_because) == ("quiet tower", Stage.BENCH, "waits for the case")


def test_a_job_cancelled_meanwhile_is_not_brought_back(owner):
    mine, theirs = seen_twice()
    theirs.end(Stage.CANCELLED, owner, "the client moved away")
    with pytest.raises(Refused, match="cancelled"):
        mine.reach(Stage.BENCH, owner)
    assert Job.objects.get(pk=mine.pk).stage == Stage.CANCELLED


def test_a_job_that_went_on_meanwhile_stays_there(owner):
    mine, theirs = seen_twice()
    theirs.reach(Stage.PROVING, owner)
    mine.reach(Stage.BENCH, owner)
    assert Job.objects.get(pk=mine.pk).stage == Stage.PROVING


def test_what_was_handed_over_meanwhile_is_not_cancelled(owner):
    mine, theirs = seen_twice()
    theirs.reach(Stage.HANDED_OVER, owner)
    with pytest.raises(Refused, match="cannot become"):
        mine.end(Stage.CANCELLED, owner)
