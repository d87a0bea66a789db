"""A bought cable in the spec: which supply feeds it and what it leads to, said at its role."""

import pytest

from builds.specs.gather import facts_of
from builds.specs.models import SpecVersion
from builds.specs.sanity import findings_of, open_stops
from tests.factories import PartFactory, RoleFactory, SpecLineFactory, once

from .rows import machine

pytestmark = pytest.mark.django_db
FACTS = {"length": 600.0, "gauge": 16.0, "connectors": "16-pin, 16-pin", "cable_sets": "C-3", "sense": 300.0}


@pytest.fixture
def spec():
    spec = machine(**{"power supply": {"cable_set": "C-3"}})
    part = PartFactory(kind="cable", name="graphics cable, 16 pins", facts=FACTS)
    role = RoleFactory(job=spec.job, kind="cable", name="graphics cable")
    SpecLineFactory(spec=spec, part=part, role=role)
    return spec


def role(spec, name):
    return spec.lines.get(role__name=name).role


def lead(client, spec, source="power supply", device="graphics board"):
    url = f"/jobs/J-{spec.job.number:04d}/spec/roles/{role(spec, 'graphics cable').pk}/"
    said = {"name": "graphics cable", "quantity": "1", "fed_from": role(spec, source).pk,
            "feeds": role(spec, device).pk, "version": SpecVersion.objects.get(pk=spec.pk).version}  # fmt: skip
    return client.post(url, once(**said), follow=True)


def of_cable(spec):
    found = findings_of(SpecVersion.objects.get(pk=spec.pk))
    return [(f.severity, f.sentence) for f in found if f.rule == "bought cables"]


def test_its_supply_and_device_are_chosen_at_its_role(owner_client, spec):
    assert [severity for severity, _said in of_cable(spec)] == ["note", "note"]
    page = lead(owner_client, spec).text
    assert "power supply → graphics board" in page, "the row says where it leads"
    line = facts_of(SpecVersion.objects.get(pk=spec.pk)).line("graphics cable")
    assert (line.fed_from, line.feeds) == ("power supply", "graphics board")
    assert [severity for severity, _said in of_cable(spec)] == ["note"], "the bend is for the bench"


def test_one_of_another_set_stops_that_cable_alone(owner_client, spec):
    lead(owner_client, spec)
    spec.lines.get(role__name="power supply").part.facts.filter(name="cable_set").update(text="B-9")
    stops = open_stops(SpecVersion.objects.get(pk=spec.pk))
    assert [(f.rule, f.roles) for f in stops] == [("bought cables", ("graphics cable",))]
    assert "belongs to cable set C-3" in owner_client.get(f"/jobs/J-{spec.job.number:04d}/spec/").text


def test_what_cannot_feed_or_be_fed_is_refused(owner_client, spec):
    page = lead(owner_client, spec, source="tube", device="case").text
    assert page.count("field wrong") == 2


def test_the_next_version_keeps_it(owner_client, owner, spec):
    lead(owner_client, spec)
    new = SpecVersion.objects.get(pk=spec.pk).copy(owner)
    assert facts_of(new).line("graphics cable").feeds == "graphics board"


def test_the_cable_book_shows_it_to_the_helper_without_a_price(helper_client, owner_client, spec):
    lead(owner_client, spec)
    book = helper_client.get(f"/jobs/J-{spec.job.number:04d}/cables/").text
    assert "Bought cables" in book
    assert "16-pin, 16-pin" in book
    assert "does not belong" not in book
    spec.lines.get(role__name="graphics cable").part.facts.filter(name="connectors").update(text="drive, drive")
    assert "does not belong on" in helper_client.get(f"/jobs/J-{spec.job.number:04d}/cables/").text


def test_another_device_stands_among_what_changed(owner_client, owner, spec):
    lead(owner_client, spec)
    new = SpecVersion.objects.get(pk=spec.pk).copy(owner)
    line = new.lines.select_related("part").get(role__name="graphics cable")
    new.put(line.role, line.part, owner, feeds=role(spec, "main board"))
    page = owner_client.get(f"/jobs/J-{spec.job.number:04d}/spec/versions/1/?against=2").text
    assert "leads to graphics board" in page
    assert "leads to main board" in page
