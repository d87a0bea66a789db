import pytest
from django.db import connection
from django.template import Context, Template
from django.test import RequestFactory
from django.test.utils import CaptureQueriesContext

from builds.jobs.models import Stage
from parts.workshop.models import Workshop
from tests.board.scenes import Scene
from tests.factories import JobFactory

pytestmark = pytest.mark.django_db


def head(job, person, here="plan"):
    request = RequestFactory().get("/")
    request.user, request.workshop = person, Workshop.current()
    with CaptureQueriesContext(connection) as seen:
        text = Template("{% load jobhead %}{% job_head job here %}").render(
            Context({"request": request, "job": job, "here": here})
        )
    return text, len(seen)


def test_the_head_says_stage_next_thing_promise_and_forecast_in_three_queries(owner):
    job = Scene(parts=4).job(41, promise=-2)
    text, _made = head(job, owner)
    assert head(job, owner) == (text, 3)
    assert "J-0041" in text
    assert "stage 5 of 7: bench" in text
    assert "Rinse 2" in text
    assert "waits for role 3, not ordered" in text
    assert "days late" in text


def test_a_closed_jobs_head_asks_nothing(owner):
    job = JobFactory(stage=Stage.HANDED_OVER)
    text, cost = head(job, owner)
    assert job.title in text
    assert cost == 0


def test_the_open_sheet_is_marked_and_the_owners_sheets_are_the_owners(owner, helper):
    job = JobFactory()
    assert 'aria-current="page">plan' in head(job, owner)[0]
    assert ">money<" in head(job, owner)[0]
    for word in ("money", "quote", "brief"):
        assert f">{word}<" not in head(job, helper)[0]
    assert ">plan<" in head(job, helper)[0]
