"""The demo's story, told once: what a visitor is promised to find."""

import pytest
from django.core.management import CommandError, call_command

from builds.jobs.models import Job
from builds.management.scenario.story import tell
from builds.proving.logs import SoakLog
from builds.proving.models import Reading, Trial
from builds.quotes.bill_paper import xml_of
from builds.quotes.bills import Bill
from builds.quotes.models import Issue
from builds.specs.gather import facts_of
from builds.specs.models import SpecVersion, Step
from builds.specs.sanity import findings_of, open_stops
from parts.catalogue.models import Part
from parts.suppliers.models import Supplier
from parts.workshop.models import AuditEntry, Person
from tests.quotes.test_bills import broken_rules


@pytest.mark.django_db
def test_the_demo_holds_what_it_promises(client):
    tell("wright", "hand", "a password of the demo")
    client.force_login(Person.objects.get(username="wright"))
    board = client.get("/").content.decode()
    assert "One promise in danger, by one part." in board
    assert "graphics board" in board
    stages = dict(Job.objects.values_list("title", "stage"))
    assert len(stages) >= 6
    assert {"enquiry", "quoted", "agreed", "bench", "proving", "handed_over"} <= set(stages.values())
    assert Part.objects.count() >= 40
    assert Supplier.objects.count() == 4
    assert Issue.objects.filter(quote__alters__isnull=False).exists(), "one job has a variation wish"
    measured = Reading.objects.filter(trial__gate__job__stage="handed_over", predicted__isnull=False)
    assert measured.exists(), "one machine left with measured against predicted"
    shows_the_bench()
    assert AuditEntry.objects.count() > 100
    shows_the_checks_at_work()
    bills_are_e_invoices()


def shows_the_bench():
    """A machine that left has a bench log against what was foretold, photos with its tests, and a later service."""
    log = SoakLog.objects.get(gate__job__stage="handed_over")
    assert (log.doubts, log.trial.outcome, log.trial.verdict) == ([], "passed", "passed")
    assert len(log.lines) >= 3
    assert all(len(line["points"]) > 100 for line in log.lines)
    assert log.trial.readings.filter(predicted__isnull=False).count() == len(log.lines) - 1
    assert Trial.objects.filter(gate__job=log.gate.job, photos__isnull=False).count() == 2
    service = Job.objects.get(serves=log.gate.job)
    assert service.stage == "handed_over"
    assert service.gates.filter(verdict="passed").count() == 3
    assert service.pack.document.issue == 2


def bills_are_e_invoices():
    """Every bill of the demo is an invoice that keeps the rules of EN 16931's own Schematron."""
    bills = Bill.objects.select_related("document")
    assert bills
    assert [str(bill) for bill in bills if broken_rules(xml_of(bill.document.data))] == []


def shows_the_checks_at_work():
    """Runs are measured, screws chosen, points told; one draft holds stops, one caution is waived."""
    specs = {job.title: SpecVersion.objects.current_for(job) for job in Job.objects.all()}
    loops = [loop for spec in specs.values() for loop in facts_of(spec).loops]
    assert all(loop.runs and loop.highest and loop.drained_at for loop in loops)
    radiators = Step.objects.filter(line__role__kind="radiator")
    assert not radiators.filter(screws=None).exists()
    stopped = open_stops(specs["Living-room console, one radiator"])
    assert {finding.rule for finding in stopped} == {"screws", "board design"}
    waived = [f for spec in specs.values() for f in findings_of(spec) if f.waived]
    assert waived
    assert all(f.rule == "fill" for f in waived)
    ordered = [f for title, spec in specs.items() if "console" not in title for f in findings_of(spec)]
    assert not [f.sentence for f in ordered if f.asks], "the demo's parts lack no fact that a check asks for"


@pytest.mark.django_db
def test_the_demo_keeps_out_of_a_workshop_that_is_in_use(settings, tmp_path):
    settings.VAR = tmp_path
    Person.objects.create_user("somebody")
    with pytest.raises(CommandError, match="a workshop of its own"):
        call_command("demo", prepare_only=True)
