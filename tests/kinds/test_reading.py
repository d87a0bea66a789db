"""Facts as a person types them, what is stored, and the way back."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parts.kinds import FactError, all_kinds, brief_of, get_kind, read_fact, show_fact, write_fact

EVERY_FACT = [pytest.param(spec, id=f"{kind.key}.{spec.name}") for kind in all_kinds().values() for spec in kind.facts]


def fact(kind, name):
    return get_kind(kind).fact(name)


@pytest.mark.parametrize(
    ("kind", "name", "typed", "value"),
    [
        # Conversion factors: NIST SP 811, appendix B (ft³/min, conventional mmH2O, inch, °F).
        ("fan", "free_flow", "61 CFM", 61 * 1.69901082),
        ("fan", "max_pressure", "1.8 mmH2O", 1.8 * 9.80665),
        ("fan", "start_speed", "30 %", 0.3),
        ("fan", "sound_level", "24 dB(A)", 24.0),
        ("radiator", "thickness", "45 mm", 45.0),
        ("radiator", "thickness", "1 3/4 in", 44.45),
        ("radiator", "fins_per_inch", "16 FPI", 16.0),
        ("radiator", "fins_per_inch", "16", 16.0),
        ("radiator", "sections", "3", 3.0),
        ("pump", "max_pressure_head", "4600 mmH2O", 45.11059),
        ("graphics", "limit", "185 °F", 85.0),
        ("drive", "capacity", "2 TB", 2000.0),
        ("reservoir", "volume", "0,25 L", 250.0),
        ("coolant", "inhibited", "Ja", 1.0),
        ("coolant", "inhibited", "no", 0.0),
        ("board", "size", "micro-atx", "microATX"),
        ("radiator", "port_thread", "G1/4", "G 1/4"),
        ("radiator", "port_thread", "g¼", "G 1/4"),
        ("radiator", "wetted_metals", "Copper / brass and tin solder", "copper, brass, tin solder"),
        ("fitting", "wetted_metals", "nickel-plated brass", "nickel"),
        ("fitting", "wetted_metals", "Aluminum; aluminium", "aluminium"),
        ("case", "front_places", "3 x 120 mm, 2*140", "3×120, 2×140"),
        ("graphics_block", "board_designs", " K2-short ,  K2-long", "K2-short, K2-long"),
        ("graphics_block", "board_designs", "K2-short, K2-short", "K2-short"),
        ("graphics", "power_connectors", "2×4, 2×4, 16-pin", "2×4, 2×4, 16-pin"),
        ("cable", "connectors", "16-pin; 16-pin", "16-pin, 16-pin"),
    ],
)
def test_a_fact_reads_as_a_person_types_it(kind, name, typed, value):
    read = read_fact(fact(kind, name), typed)
    assert read == value if isinstance(value, str) else math.isclose(read, value, rel_tol=1e-6)


@pytest.mark.parametrize(
    ("kind", "name", "typed", "said"),
    [
        ("fan", "free_flow", "61 W", "power, not a volume flow"),
        ("radiator", "thickness", "-30 mm", "at least 15 mm"),
        ("radiator", "thickness", "3 m", "at most 120 mm"),
        ("radiator", "sections", "2.5", "not a whole number"),
        ("radiator", "sections", "1e999", "not a whole number"),
        ("radiator", "sections", "12", "not between 1 and 9"),
        ("radiator", "wetted_metals", "coper", "did you mean copper"),
        ("radiator", "fan_thread", "M5", "M3, M4, 6-32"),
        ("case", "front_places", "three fans", "3×120"),
        ("coolant", "inhibited", "perhaps", "neither yes nor no"),
        ("graphics", "board_design", "K" * 201, "at most 200"),
        ("fan", "thickness", "nan", "cannot be used|can be used"),
        ("fan", "thickness", "  ", "nothing was typed"),
    ],
)
def test_a_fact_that_cannot_be_used_says_field_value_and_bound(kind, name, typed, said):
    spec = fact(kind, name)
    with pytest.raises(FactError) as refusal:
        read_fact(spec, typed)
    sentence = str(refusal.value)
    assert str(spec.label) in sentence
    assert any(words in sentence for words in said.split("|")), sentence


def test_pressed_acrylic_is_not_taken_for_the_cast_one():
    """Extruded acrylic softens earlier than cast, so plain “acrylic” has to be asked about."""
    with pytest.raises(FactError, match="acrylic cast"):
        read_fact(fact("pump", "wetted_plastics"), "acrylic")


@pytest.mark.parametrize("spec", EVERY_FACT)
@settings(max_examples=20)
@given(share=st.floats(0, 1), pick=st.randoms(use_true_random=False))
def test_what_is_written_reads_back_the_same(spec, share, pick):
    if spec.choices:
        count = pick.randint(1, min(4, len(spec.choices))) if spec.many else 1
        value = read_fact(spec, ", ".join(pick.sample(spec.choices, count)))
    elif spec.is_text:
        value = read_fact(spec, spec.example or "S-17")
    elif spec.unit == "yes":
        value = float(share > 0.5)
    else:
        raw = spec.lower + share * (spec.upper - spec.lower)
        value = float(round(raw)) if spec.unit == "count" else float(f"{raw:.12g}")
        value = min(max(value, spec.lower), spec.upper)
    assert read_fact(spec, write_fact(spec, value)) == value


@given(st.text(max_size=40))
def test_no_text_breaks_the_reader(text):
    for spec in get_kind("radiator").facts + get_kind("case").facts + get_kind("coolant").facts:
        try:
            value = read_fact(spec, text)
        except FactError:
            continue
        assert read_fact(spec, write_fact(spec, value)) == value


def test_a_fact_is_shown_with_its_unit():
    assert show_fact(fact("fan", "free_flow"), 103.639660) == "103.6 m³/h"
    assert show_fact(fact("radiator", "sections"), 3.0) == "3"
    assert show_fact(fact("coolant", "inhibited"), 1.0) == "yes"
    assert show_fact(fact("coolant", "mass_fraction"), 0.3) == "30 %"
    assert write_fact(fact("fan", "start_speed"), 0.07) == "7 %"


def test_a_bare_count_says_what_it_counts():
    assert brief_of(get_kind("radiator"), {"thickness": 30.0, "sections": 3.0}) == ["3 fan sections", "30 mm"]


def test_a_size_of_two_facts_is_said_as_the_trade_says_it():
    values = {"section_size": 120.0, "thickness": 30.0, "sections": 3.0}
    assert brief_of(get_kind("radiator"), values) == ["3 × 120 mm", "30 mm"]
    assert brief_of(get_kind("tube"), {"outside": 16.0, "bore": 12.0, "material": "PETG"}) == ["16 × 12 mm", "PETG"]
    assert brief_of(get_kind("case"), {"front_places": "3×120"})
