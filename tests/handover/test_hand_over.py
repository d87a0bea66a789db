"""Letting the machine leave: works, forbidden, invalid, missing."""

import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from builds.handover.models import CareDate, Pack
from builds.jobs.models import Job, Stage
from builds.proving.models import Gate
from builds.sheets.models import Document
from parts.workshop.models import AuditEntry
from parts.workshop.refusal import Refused
from tests.factories import JobFactory, TaskFactory, once
from tests.proving.readings import gate_of, passed, recorded

from .machine import FORM, agreed, built

pytestmark = pytest.mark.django_db


def sheet(job):
    return reverse("handover:sheet", args=[job.number])


def send(client, job, **changed):
    job.refresh_from_db()
    data = {**FORM, "on": timezone.localdate().isoformat(), "version": job.version, **changed}
    return client.post(sheet(job), once(**data))


def test_it_leaves_with_pack_care_dates_and_stage(owner_client, owner, machine):
    assert send(owner_client, machine).status_code == 302
    machine.refresh_from_db()
    pack = Pack.objects.get(job=machine)
    assert machine.stage == Stage.HANDED_OVER
    assert pack.document.read().startswith(b"%PDF")
    assert CareDate.objects.filter(job=machine).count() == 6
    assert pack.document.data["gates"][0] == {"kind": "air", "verdict": "passed", "reason": ""}
    entry = AuditEntry.objects.get(verb="handed over")
    assert (entry.person, entry.after["document"]) == (owner, pack.document.sha256)
    html = owner_client.get(sheet(machine)).content.decode()
    assert reverse("sheets:download", args=[pack.document_id]) in html
    assert "change the coolant" in html


def test_it_stays_until_every_gate_is_through_and_the_list_says_which(owner_client, owner):
    job = built(owner, ready=False)
    passed(job, owner, ["air", "wet"])
    html = send(owner_client, job).content.decode()
    assert "until these are passed or waived: fill and bleed, electrical, soak test" in html
    assert Job.objects.get(pk=job.pk).stage == Stage.PROVING
    assert not Pack.objects.exists()
    assert not CareDate.objects.exists()
    assert not Document.objects.exists()


def test_a_failed_gate_holds_it_back_though_it_passed_before(owner, machine):
    recorded(machine, "air", owner, pressure_2=0.4).confirm("failed", owner)
    with pytest.raises(Refused, match="air test"):
        Pack.hand_over(machine, owner, way="collected", received_by="A. Halvorsen")


def test_a_waived_gate_lets_it_go(owner):
    job = built(owner, ready=False)
    passed(job, owner, ["air", "wet", "fill", "electrical"])
    gate_of(job, "soak", owner).waive("soaks at the studio", owner)
    pack = Pack.hand_over(job, owner, way="delivered", received_by="A. Halvorsen")
    assert pack.document.data["gates"][4]["reason"] == "soaks at the studio"


def test_the_workshop_role_hands_nothing_over(helper_client, helper, machine):
    assert helper_client.get(sheet(machine)).status_code == 403
    assert helper_client.get(reverse("handover:preview", args=[machine.number])).status_code == 403
    with pytest.raises(Refused, match="Only the owner"):
        Pack.hand_over(machine, helper, way="collected", received_by="A. Halvorsen")


def test_twice_is_refused_and_changes_nothing(owner_client, owner, machine):
    send(owner_client, machine)
    with pytest.raises(Refused, match="handed over already"):
        Pack.hand_over(machine, owner, way="shipped", received_by="somebody else")
    assert send(owner_client, machine, way="shipped").status_code == 200
    assert Pack.objects.get().way == "collected"
    assert CareDate.objects.count() == 6


@pytest.mark.parametrize(
    ("changed", "field", "words"),
    [
        ({"received_by": ""}, "received_by", "Fill this in"),
        ({"received_by": "  "}, "received_by", "Fill this in"),
        ({"on": "2031-01-01"}, "on", "still to come"),
        ({"on": "the 3rd"}, "on", "valid date"),
        ({"on": "2001-01-01"}, "on", "before the job was opened"),
        ({"way": "by balloon"}, "way", "valid choice"),
    ],
)
def test_bad_input_is_named_at_its_field(owner_client, machine, changed, field, words):
    answer = send(owner_client, machine, **changed)
    assert words in " ".join(answer.context["form"].errors[field])
    assert not Pack.objects.exists()


def test_a_stale_sheet_is_refused(owner_client, machine):
    assert "Somebody changed this" in send(owner_client, machine, version=77).content.decode()
    assert not Pack.objects.exists()


def test_a_job_that_does_not_exist(owner_client):
    assert owner_client.get(reverse("handover:sheet", args=[9999])).status_code == 404


def test_a_job_without_a_spec_has_nothing_to_hand_over(owner):
    job = JobFactory()
    Gate.objects.open_for(job, owner)
    Gate.objects.filter(job=job).update(verdict="waived")
    with pytest.raises(Refused, match="no spec"):
        Pack.hand_over(job, owner, way="collected", received_by="A. Halvorsen")


def test_the_sheet_lists_what_is_open(owner_client, owner):
    job = built(owner, ready=False)
    TaskFactory(job=job, name="Tidy cables")
    TaskFactory(job=job, name="Take photos", done_at=timezone.now())
    agreed(job, "4200.00")
    html = owner_client.get(sheet(job)).content.decode()
    assert "soak test" in html
    assert "Tidy cables" in html
    assert "Take photos" not in html
    assert "4,200.00 EUR" in html


def test_the_day_it_left_sets_the_care_dates(owner, machine):
    Job.objects.filter(pk=machine.pk).update(opened_at=timezone.now() - datetime.timedelta(days=60))
    on = timezone.localdate() - datetime.timedelta(days=30)
    Pack.hand_over(machine, owner, way="shipped", received_by="carrier", filled=False, on=on)
    first = CareDate.objects.filter(job=machine).first()
    assert first.due == on
    assert "fill and bleed" in first.what


def test_the_sheet_asks_as_much_for_twelve_tasks_as_for_one(owner_client, machine):
    def asked():
        with CaptureQueriesContext(connection) as queries:
            assert owner_client.get(sheet(machine)).status_code == 200
        return len(queries)

    TaskFactory(job=machine)
    asked()
    one = asked()
    for _more in range(11):
        TaskFactory(job=machine)
    assert asked() == one < 30
