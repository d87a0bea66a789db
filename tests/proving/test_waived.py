"""What was waived of the build's checks stands on the test record, with who said so and why."""

import pytest
from django.template.loader import render_to_string

from builds.checks.models import Waiver
from builds.proving.record import paper_of, waived_of
from builds.specs.models import SpecVersion
from builds.specs.sanity import open_stops
from parts.workshop.models import Workshop
from tests.specs.rows import machine

pytestmark = pytest.mark.django_db


@pytest.fixture
def spec():
    return machine(**{"front radiator": {"thickness": 60.0}})


def waive(spec, owner):
    return Waiver.objects.grant(spec.job, open_stops(spec)[0], "The front panel comes out; measured.", by=owner)


def paper(spec):
    return render_to_string("sheets/test_record.html", paper_of(spec.job, Workshop.current()))


def test_a_waived_stop_is_printed_with_its_reason_and_source(spec, owner):
    assert "were waived" not in paper(spec)
    waive(spec, owner)
    printed = paper(spec)
    assert "Checks of the build that were waived" in printed
    assert "85 mm deep; the front place has 70 mm" in printed
    assert f"{owner}: The front panel comes out; measured." in printed
    assert "geometry; the margin is common practice" in printed


def test_a_waiver_whose_numbers_changed_is_not_printed(spec, owner):
    waive(spec, owner)
    spec.lines.get(role__name="front radiator").part.facts.filter(name="thickness").update(number=61.0)
    assert waived_of(spec.job) == []
    assert "were waived" not in paper(SpecVersion.objects.get(pk=spec.pk))


def test_the_agreed_version_counts_not_the_draft_after_it(spec, owner):
    waive(spec, owner)
    spec.agreed_at = spec.made_at
    spec.save(update_fields=["agreed_at"])
    draft = spec.copy(owner)
    draft.take_out(draft.lines.get(role__name="case").role, owner)
    assert [f.rule for f in waived_of(spec.job)] == ["stack"]
