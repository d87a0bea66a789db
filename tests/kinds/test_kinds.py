"""The declarations themselves."""

import pytest

from parts.kinds import all_kinds, get_kind, kind_choices
from thermal.units import convert

KINDS = [pytest.param(kind, id=key) for key, kind in all_kinds().items()]
WANTED = {
    "case", "board", "processor", "graphics", "memory", "drive", "power_supply", "radiator", "fan", "pump",
    "reservoir", "pump_reservoir", "processor_block", "graphics_block", "fitting", "tube", "coolant", "cable",
    "sensor", "controller", "consumable", "other", "board_block", "memory_block",
}  # fmt: skip


def test_every_kind_of_the_trade_is_declared():
    assert set(all_kinds()) >= WANTED
    assert [key for key, _label in kind_choices()] == sorted(all_kinds(), key=lambda k: str(get_kind(k).label))


@pytest.mark.parametrize("kind", KINDS)
def test_each_fact_is_declared_whole(kind):
    names = [spec.name for spec in kind.facts]
    assert len(names) == len(set(names))
    labels = [str(spec.label) for spec in kind.facts]
    assert len(labels) == len(set(labels)), "two facts would look alike on a form"
    assert set(kind.brief) <= set(names)
    for spec in kind.facts:
        assert len(spec.name) <= 40
        assert spec.is_text or (spec.unit == "yes") or spec.lower < spec.upper, spec.name
        if spec.unit not in {"", "yes", "count"}:
            convert(1.0, spec.unit, spec.unit)  # a unit the registry knows


def test_no_two_kinds_answer_to_the_same_word():
    owners = {}
    for kind in all_kinds().values():
        for word in {kind.key.replace("_", " "), str(kind.label).casefold(), *kind.words}:
            assert word == word.casefold()
            assert owners.setdefault(word, kind.key) == kind.key, word


@pytest.mark.parametrize(
    ("kind", "values", "field"),
    [
        ("radiator", {"core_depth": 40.0, "thickness": 30.0}, "core_depth"),
        ("radiator", {"sections": 3.0, "section_size": 120.0, "length": 300.0}, "length"),
        ("tube", {"bore": 13.0, "outside": 13.0}, "bore"),
        ("fitting", {"tube_bore": 16.0, "tube_outside": 13.0}, "tube_bore"),
        ("case", {"front_depth": 390.0, "length": 380.0}, "front_depth"),
    ],
)
def test_facts_that_cannot_all_be_true_are_told(kind, values, field):
    [(name, sentence)] = get_kind(kind).contradictions(values)
    assert name == field
    assert str(get_kind(kind).fact(field).label) in sentence


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_contradicts_where_nothing_is_known(kind):
    assert kind.contradictions({}) == []


def test_a_core_as_deep_as_the_radiator_passes():
    assert get_kind("radiator").contradictions({"core_depth": 30.0, "thickness": 30.0}) == []
