"""Work done again after its test had passed: the test is due again, says why, and the trail keeps it."""

import pytest
from django.urls import reverse
from django.utils import timezone

from builds.labour.models import Need, Precedes
from builds.proving.models import Gate
from builds.quotes.models import Quote
from parts.workshop.models import AuditEntry
from tests.factories import (
    JobFactory,
    PartFactory,
    RoleFactory,
    SpecLineFactory,
    SpecVersionFactory,
    SupplierPriceFactory,
    TaskFactory,
)
from tests.handover.machine import agreed as agreed_on

from .readings import passed, post, recorded

pytestmark = pytest.mark.django_db
ALL = ("air", "wet", "fill", "electrical", "soak")


@pytest.fixture
def job(helper):
    """Built, plumbed and passed through every test."""
    found = JobFactory(stage="bench")
    passed(found, helper)
    return found


def done_task(job, by, name="Plumb the loop", needs=(), **more):
    task = TaskFactory(job=job, name=name, done_at=timezone.now(), done_by=by, **more)
    for kind in needs:
        Need.objects.create(task=task, role=RoleFactory(job=job, kind=kind))
    return task


def stand(job):
    """Kinds still through."""
    return {gate.kind for gate in Gate.objects.filter(job=job) if gate.is_through}


@pytest.mark.parametrize("kind", ["tube", "fitting", "coolant", "radiator", "processor_block", "pump"])
def test_a_step_that_opens_the_loop_makes_its_tests_due_again(helper, job, kind):
    done_task(job, helper, needs=[kind]).reopen(helper)
    assert stand(job) == {"electrical", "soak"}
    assert Gate.objects.blocking(job) == ["air", "wet", "fill"]
    entry = AuditEntry.objects.get(verb="made due again", about=f"gate {job} wet")
    assert (entry.before["verdict"], entry.after["verdict"]) == ("passed", "open")
    assert "Plumb the loop" in entry.after["reason"]


def test_what_the_air_test_follows_opens_the_loop_though_it_names_no_part(helper, job):
    plumb, air = done_task(job, helper), done_task(job, helper, "Air test", proves="air")
    Precedes.objects.create(before=plumb, after=air)
    plumb.reopen(helper)
    assert stand(job) == {"electrical", "soak"}
    air.refresh_from_db()
    assert not air.is_done, "the plan and Today ask for the test again"


@pytest.mark.parametrize(
    ("proves", "left"),
    [
        ("air", {"electrical", "soak"}), ("fill", {"electrical", "soak"}), ("wet", set(ALL) - {"wet"}),
        ("electrical", set(ALL) - {"electrical"}), ("soak", set(ALL) - {"soak"}),
    ],
)  # fmt: skip
def test_a_tests_own_task_opened_again_makes_it_due(helper, job, proves, left):
    done_task(job, helper, "the test", proves=proves).reopen(helper)
    assert stand(job) == left


def test_dry_work_opened_again_leaves_the_tests_alone(helper, job):
    done_task(job, helper, "Lay and dress cables", needs=["cable"]).reopen(helper)
    assert stand(job) == set(ALL)


def test_a_waiver_falls_with_the_work_it_was_given_for(owner):
    job = JobFactory(stage="bench")
    gate = recorded(job, "air", owner, pressure_2=0.4)
    gate.waive("Tested at the maker's.", owner)
    done_task(job, owner, needs=["tube"]).reopen(owner)
    assert stand(job) == set()


def test_a_failed_wet_test_opens_its_own_task_and_voids_nothing_else(helper):
    job = JobFactory(stage="bench")
    passed(job, helper, ["air"])
    done_task(job, helper, "Wet test", proves="wet")
    recorded(job, "wet", helper, drops=2.0).confirm("failed", helper)
    assert stand(job) == {"air"}
    assert Gate.objects.get(job=job, kind="wet").verdict == "failed"


def test_earlier_readings_stay_and_new_ones_clear_the_word(helper, helper_client, job):
    done_task(job, helper, needs=["tube"]).reopen(helper)
    html = helper_client.get(reverse("proving:gate", args=[job.number, "air"])).content.decode()
    assert "due again" in html
    assert "“Plumb the loop” was opened again" in html
    assert "Trial 1" in html
    recorded(job, "air", helper)
    gate = Gate.objects.get(job=job, kind="air")
    assert (gate.reason, gate.trials.count(), gate.is_due_again) == ("", 2, False)


def test_sheet_and_test_record_say_it(helper, helper_client, job):
    done_task(job, helper, needs=["tube"]).reopen(helper)
    html = helper_client.get(reverse("proving:sheet", args=[job.number])).content.decode()
    assert html.count("due again</span>") == 3
    assert "“Plumb the loop” was opened again" in html
    assert helper_client.get(reverse("proving:record", args=[job.number])).status_code == 200


@pytest.mark.parametrize(("kind", "left"), [("radiator", {"electrical", "soak"}), ("drive", set(ALL))])
def test_an_accepted_variation_that_changes_the_loop_makes_its_tests_due_again(owner, job, kind, left, monkeypatch):
    monkeypatch.setattr("builds.specs.sanity.open_stops", lambda spec, workshop=None: [])
    agreed = SpecVersionFactory(job=job)
    part = SupplierPriceFactory(part=PartFactory(kind=kind)).part
    line = SpecLineFactory(spec=agreed, part=part, role=RoleFactory(job=job, kind=kind))
    agreed_on(job, number=99)
    newer = agreed.copy(owner)
    newer.lines.filter(role=line.role).update(
        part=SupplierPriceFactory(part=PartFactory(kind=kind, name="another")).part
    )
    change = Quote.vary(job, newer, owner)
    change.send(owner)
    assert stand(job) == set(ALL), "an offer undoes nothing"
    change.accept(owner, "A. Halvorsen")
    assert stand(job) == left


def test_a_joint_undone_at_the_bench_is_said_on_the_sheet(helper, helper_client, job):
    address = reverse("proving:loop_again", args=[job.number])
    assert (
        "The loop was opened again" in helper_client.get(reverse("proving:sheet", args=[job.number])).content.decode()
    )
    assert post(helper_client, address, what="fitting at the pump, it sweated").status_code == 302
    assert stand(job) == {"electrical", "soak"}
    assert "it sweated" in Gate.objects.get(job=job, kind="air").reason
    assert AuditEntry.objects.filter(verb="opened the loop again").exists()


def test_it_says_what_was_opened(helper_client, job):
    answer = post(helper_client, reverse("proving:loop_again", args=[job.number]), what=" ")
    assert answer.context["opened_form"].errors["what"]
    assert stand(job) == set(ALL)


def test_a_closed_jobs_tests_stand(helper_client, job):
    job.stage = "handed_over"
    job.save()
    answer = post(helper_client, reverse("proving:loop_again", args=[job.number]), what="a joint")
    assert "closed" in answer.content.decode()
    assert stand(job) == set(ALL)


def test_no_such_job(helper_client):
    assert post(helper_client, reverse("proving:loop_again", args=[9999]), what="a joint").status_code == 404
