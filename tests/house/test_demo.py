"""The demo's story, told once: what a visitor is promised to find."""

import pytest
from django.core.management import CommandError, call_command

from builds.jobs.models import Job
from builds.management.scenario.story import tell
from builds.proving.models import Reading
from builds.quotes.models import Issue
from parts.catalogue.models import Part
from parts.suppliers.models import Supplier
from parts.workshop.models import AuditEntry, Person


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
    assert AuditEntry.objects.count() > 100


@pytest.mark.django_db
def test_the_demo_keeps_out_of_a_workshop_that_is_in_use(settings, tmp_path):
    settings.VAR = tmp_path
    Person.objects.create_user("somebody")
    with pytest.raises(CommandError, match="a workshop of its own"):
        call_command("demo", prepare_only=True)
