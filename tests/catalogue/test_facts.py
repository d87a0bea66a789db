"""Facts set in one place: checked, all or nothing, written down; the better origin wins."""

import pytest

from parts.catalogue.models import Fact, Part
from parts.workshop.models import AuditEntry
from parts.workshop.refusal import Refused
from tests.factories import PartFactory


@pytest.fixture
def radiator(db):
    return PartFactory(kind="radiator", name="Radiator 3×120, 30 mm")


def test_a_fact_is_set_as_typed_and_written_down(radiator, owner):
    radiator.set_fact("thickness", "1 3/4 in", Fact.DECLARED, by=owner)
    assert radiator.fact("thickness") == 44.45
    entry = AuditEntry.objects.get(verb="facts set")
    assert entry.person == owner
    assert entry.before == {"origin": "declared", "thickness": None}
    assert entry.after == {"origin": "declared", "thickness": 44.45}


def test_measured_beats_declared_beats_typical(radiator, owner):
    radiator.set_fact("core_depth", 18.0, Fact.TYPICAL, by=owner)
    assert radiator.fact("core_depth") == 18.0
    radiator.set_fact("core_depth", 17.0, Fact.DECLARED, by=owner)
    assert radiator.fact("core_depth") == 17.0
    radiator.set_fact("core_depth", 16.5, Fact.MEASURED, by=owner)
    radiator.set_fact("core_depth", 19.0, Fact.TYPICAL, by=owner)
    assert radiator.fact("core_depth") == 16.5


def test_none_forgets_and_the_next_best_shows(radiator, owner):
    radiator.set_fact("core_depth", 18.0, Fact.TYPICAL, by=owner)
    radiator.set_fact("core_depth", 16.5, Fact.MEASURED, by=owner)
    radiator.set_fact("core_depth", None, Fact.MEASURED, by=owner)
    assert radiator.fact("core_depth") == 18.0


def test_the_same_again_leaves_no_second_entry(radiator, owner):
    for _ in range(2):
        radiator.set_fact("sections", 3, Fact.DECLARED, by=owner)
    assert AuditEntry.objects.filter(verb="facts set").count() == 1


@pytest.mark.parametrize(
    ("values", "field", "said"),
    [
        ({"thickness": -5.0}, "fact_thickness", "at least 15 mm"),
        ({"sections": 3.5}, "fact_sections", "not a whole number"),
        ({"wetted_metals": "cheese"}, "fact_wetted_metals", "not known"),
        ({"horn": 1.0}, None, "has no fact"),
        ({"thickness": 30.0, "core_depth": 40.0}, "fact_core_depth", "not possible"),
    ],
)
def test_what_cannot_be_is_refused_whole(radiator, owner, values, field, said):
    with pytest.raises(Refused, match=said) as refusal:
        radiator.set_facts({"fins_per_inch": 16, **values}, Fact.DECLARED, by=owner)
    assert refusal.value.field == field
    assert not Fact.objects.filter(part=radiator).exists()


def test_a_contradiction_between_origins_is_refused_too(radiator, owner):
    radiator.set_fact("thickness", 30.0, Fact.DECLARED, by=owner)
    with pytest.raises(Refused, match="not possible"):
        radiator.set_fact("core_depth", 31.0, Fact.MEASURED, by=owner)


def test_one_fact_an_origin(radiator, owner):
    radiator.set_fact("thickness", 30.0, Fact.DECLARED, by=owner)
    radiator.set_fact("thickness", 31.0, Fact.DECLARED, by=owner)
    assert Part.objects.get(pk=radiator.pk).facts.count() == 1
    assert radiator.fact("thickness") == 31.0
