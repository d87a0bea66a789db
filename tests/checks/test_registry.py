"""All checks together."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.checks.facts import BuildFacts, RunFacts
from builds.checks.registry import ALL, rule_label, run
from parts.kinds import all_kinds, get_kind

from .trade import build, part, step


def test_an_empty_build_has_nothing_to_say():
    assert run(BuildFacts()) == []


def test_findings_come_stops_first():
    lines = [part("radiator", wetted_metals="aluminium"), part("processor_block", wetted_metals="copper")]
    weights = [f.severity for f in run(build(*lines))]
    assert weights == sorted(weights, key=["stop", "caution", "note"].index)
    assert weights[0] == "stop"


def test_what_several_steps_lack_is_said_once():
    steps = [step(role, fans="fan", fan_count=3) for role in ("one", "two")]
    lines = [part("radiator", role=role, section_size=120.0) for role in ("one", "two")]
    found = run(build(*lines, part("fan", quantity=6), steps=steps))
    assert len(found) == len(set(found))


def test_rules_have_keys_of_their_own_a_label_and_a_source():
    assert len({rule.key for rule in ALL}) == len(ALL)
    assert all(str(rule.source) and str(rule_label(rule.key)) == str(rule.label) for rule in ALL)
    assert str(rule_label("unheard of")) == "another check"


KINDS = ["case", "board", "processor", "graphics", "memory", "drive", "power_supply", "radiator", "fan", "pump",
         "reservoir", "pump_reservoir", "processor_block", "graphics_block", "fitting", "tube", "coolant",
         "consumable", "controller", "cable", "board_block", "memory_block"]  # fmt: skip


def test_a_build_of_which_nothing_is_known_passes_no_check_silently():
    bare = build(*[part(kind) for kind in KINDS], steps=[step("pump"), step("radiator", fans="fan", fan_count=1,
                 place="top"), step("processor_block"), step("graphics_block")])  # fmt: skip
    silent = {rule.key for rule, check in ALL.items() if not check(bare)}
    assert silent == {"withdrawn", "cables", "cable take-off", "bends"}, "there is nothing yet that these could look at"


def bare_machine(place, **how):
    """Every kind of part, nothing known of any, with two radiators at a corner, runs, screws and a forced re-tap."""
    role = "second radiator"
    steps = [step("pump"), step("processor_block"), step("graphics_block"), step("reservoir"), step("pump_reservoir")]
    steps += [step(name, fans="fan", fan_count=1, place=at, screws="consumable", screw_through=through, retapped=True)
              for name, at, through in (("radiator", place, "fan"), (role, "front", "flange"))]  # fmt: skip
    runs = (RunFacts("pump", "processor_block", bends=1),)
    lines = [replace(part(kind, **how), fed_from="board" if kind == "fan" else "") for kind in KINDS]
    return build(*lines, part("radiator", role=role, **how), steps=steps, runs=runs, air_ml=100.0)


@pytest.mark.parametrize("place", ["top", "bottom"])
@pytest.mark.parametrize("known", [{}, {"form": "2.5-inch"}, {"form": "3.5-inch", "fan_thread": "M3"}])
def test_every_fact_a_check_asks_for_can_be_filled_in(place, known):
    """A name that no kind declares could never be filled in."""
    kinds, asked = {f"the {kind}": get_kind(kind) for kind in KINDS}, set()
    for finding in run(bare_machine(place, **known)):
        asked |= {(finding.parts[0], name) for name in finding.wants}
    assert len(asked) > 40
    assert not [(name, fact) for name, fact in asked if kinds[name].fact(fact) is None]


def test_every_fact_names_rules_that_are_there():
    keys = {rule.key for rule in ALL} | {"thermal", "socket", "care"}
    assert not [(kind.key, fact.name) for kind in all_kinds().values() for fact in kind.facts
                if set(fact.needed_by) - keys]  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_no_check_breaks_on_a_lone_part(kind):
    run(build(part(kind)))


def test_a_withdrawn_part_names_its_successor():
    line = replace(part("pump"), withdrawn=True, successor="newer pump")
    found = [f for f in run(build(line)) if f.rule == "withdrawn"]
    assert "newer pump" in found[0].action
    mine = replace(line, client_supplied=True)
    assert not [f for f in run(build(mine)) if f.rule == "withdrawn"]


@given(st.sampled_from(KINDS), st.booleans(), st.booleans())
def test_only_what_must_still_be_bought_is_found_withdrawn(kind, withdrawn, ours):
    line = replace(part(kind), withdrawn=withdrawn, client_supplied=not ours)
    assert bool([f for f in run(build(line)) if f.rule == "withdrawn"]) == (withdrawn and ours)


def test_a_fingerprint_follows_the_numbers_not_the_words():
    one = run(build(part("radiator", wetted_metals="aluminium"), part("pump", wetted_metals="copper")))[0]
    same_numbers = replace(one, sentence="said otherwise", action="", source="")
    assert one.fingerprint == same_numbers.fingerprint
    assert one.fingerprint != replace(one, numbers=(("volts", 0.56),)).fingerprint
    assert one.fingerprint != replace(one, roles=("other",)).fingerprint
    assert one.fingerprint != replace(one, severity="caution").fingerprint
