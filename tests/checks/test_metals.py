"""Wetted metals. Anodic indices as printed in tables after MIL-DTL-14072 (read at vk6ysf.com/galvanic_table.htm and
ideambox.com); that an immersed couple passes up to 0.15 V is engineering practice."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.checks.metals import INDEX, check, couple, severity

from .trade import build, cautions, missing, notes, part, step, stops

SAFE = part("coolant", inhibited=1.0, biocide="none")


def wetted(kind, metals, **more):
    return part(kind, wetted_metals=metals, **more)


@pytest.mark.parametrize(
    ("one", "other", "apart"),
    [("copper", "nickel", 5), ("copper", "brass", 5), ("nickel", "brass", 10), ("copper", "silver", 20),
     ("copper", "stainless", 15), ("copper", "tin solder", 30), ("copper", "aluminium", 55),
     ("nickel", "aluminium", 60), ("brass", "aluminium", 50), ("aluminium", "steel", 5)],
)  # fmt: skip
def test_couples_are_as_far_apart_as_the_table_says(one, other, apart):
    assert couple(one, other)[0] == apart


def test_copper_brass_and_nickel_pass():
    lines = [wetted("radiator", "copper, brass"), wetted("processor_block", "copper, nickel"), SAFE]
    assert check(build(*lines)) == []


@pytest.mark.parametrize("active", ["aluminium", "anodised aluminium", "zinc", "magnesium", "steel"])
@pytest.mark.parametrize("noble", ["copper", "brass", "nickel", "silver", "stainless"])
def test_active_beside_noble_stops(active, noble):
    found = check(build(wetted("radiator", active), wetted("processor_block", noble), SAFE))
    assert len(stops(found)) == 1
    assert stops(found)[0].startswith(f"{active.capitalize()} (the radiator) beside {noble} (the processor_block)")


def test_an_aluminium_loop_may_have_steel():
    assert not stops(check(build(wetted("radiator", "aluminium"), wetted("pump", "steel"), SAFE)))


def test_passive_stainless_beside_copper_is_a_note():
    found = check(build(wetted("radiator", "copper"), wetted("pump", "stainless"), SAFE))
    assert (len(notes(found)), cautions(found), stops(found)) == (1, [], [])


def test_passive_stainless_beside_nickel_is_a_note_too():
    """Nearly every pump has a stainless shaft, nearly every fitting nickel plate. Common practice."""
    assert couple("nickel", "stainless")[0] == 20
    found = check(build(wetted("fitting", "nickel"), wetted("pump", "stainless"), SAFE))
    assert (len(notes(found)), cautions(found), stops(found)) == (1, [], [])


def test_silver_in_the_coolant_meets_nickel_plate():
    block = wetted("processor_block", "nickel")
    found = check(build(block, part("coolant", inhibited=1.0, biocide="silver")))
    assert "holds silver as a biocide" in cautions(found)[0]
    assert check(build(wetted("processor_block", "copper"), part("coolant", inhibited=1.0, biocide="silver"))) == []
    assert missing(check(build(block, part("coolant", inhibited=1.0)))) == {"the coolant": "biocide"}


def test_a_large_anode_beside_a_small_cathode_goes_slowly():
    found = check(build(wetted("fitting", "copper"), wetted("radiator", "aluminium"), SAFE))
    assert "goes slowly" in stops(found)[0]


def test_solder_inside_a_radiator_is_a_note_elsewhere_a_caution():
    inside = check(build(wetted("radiator", "copper, tin solder"), SAFE))
    assert (len(notes(inside)), cautions(inside)) == (1, [])
    assert cautions(check(build(wetted("processor_block", "copper, tin solder"), SAFE)))


def test_solder_inside_radiators_is_said_once():
    core = wetted("radiator", "copper, brass, tin solder")
    found = check(build(core, wetted("processor_block", "nickel"), SAFE))
    assert len(notes(found)) == 1
    assert "meets brass, copper, nickel, up to 0.35 V apart" in notes(found)[0]
    assert not cautions(found)


def test_solder_beside_an_active_metal_is_judged_as_any_pair():
    assert cautions(check(build(wetted("radiator", "tin solder"), wetted("pump", "aluminium"), SAFE)))


def test_nickel_with_silver_is_a_caution_though_it_passes_by_the_index():
    assert couple("nickel", "silver")[0] == 15
    found = check(build(wetted("processor_block", "nickel"), wetted("reservoir", "silver"), SAFE))
    assert "0.15 V" in cautions(found)[0]


def test_a_small_anode_beside_a_large_cathode_is_named():
    found = check(build(wetted("fitting", "aluminium"), wetted("radiator", "copper"), SAFE))
    assert "small anode" in stops(found)[0]


def test_separate_loops_do_not_meet():
    lines = [wetted("radiator", "aluminium"), wetted("processor_block", "copper"), SAFE]
    facts = build(*lines, steps=[step("radiator")])
    other = build(*lines, steps=[step("processor_block")])
    two = type(facts)(lines=facts.lines, loops=(*facts.loops, *other.loops))
    assert not stops(check(two))
    assert stops(check(build(*lines, steps=[step("radiator"), step("processor_block")])))


def test_a_copper_tube_counts():
    assert stops(check(build(part("tube", material="copper"), wetted("radiator", "aluminium"), SAFE)))


def test_mixed_metals_want_an_inhibitor():
    mixed = wetted("radiator", "copper, brass")
    assert "names no coolant" in cautions(check(build(mixed)))[0]
    assert "no corrosion inhibitor" in cautions(check(build(mixed, part("coolant", inhibited=0.0))))[0]
    assert missing(check(build(mixed, part("coolant", biocide="none")))) == {"the coolant": "inhibited"}


def test_unknown_metals_never_pass():
    assert missing(check(build(part("radiator"), part("fitting")))) == {
        "the radiator": "wetted_metals", "the fitting": "wetted_metals",
    }  # fmt: skip


@given(st.sampled_from(list(combinations(INDEX, 2))))
def test_a_couple_is_the_same_both_ways_round(pair):
    assert couple(*pair) == couple(*reversed(pair))
    assert severity(*pair) == severity(*reversed(pair))


@given(st.lists(st.sampled_from(sorted(INDEX)), min_size=1, max_size=5, unique=True), st.sampled_from(sorted(INDEX)))
def test_one_more_metal_never_makes_a_loop_better(metals, more):
    few = check(build(wetted("radiator", ", ".join(metals)), SAFE))
    many = check(build(wetted("radiator", ", ".join({*metals, more})), SAFE))
    assert len(stops(few)) <= len(stops(many))
