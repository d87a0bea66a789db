"""Heat and flow through the thermal model. The first case is the design's example loop, whose check figures come
from an independent calculation: 5.147 L/min, mean coolant 9.15 K over the room, 44.01 and 44.35 °C, 325 W per 10 K."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builds.checks.facts import BuildFacts, Known, LoopFacts
from builds.checks.heat import check, operating, operating_points
from builds.checks.loop_model import at, case_heat_w, model_of

from .trade import build, cautions, missing, part, step, stops

PUMP = {"max_flow": 16.0, "max_pressure_head": 45.0, "heat": 15.0, "max_coolant": 60.0}
BLOCK = {"resistance_exponent": 0.3, "reference_flow": 3.8}
RADIATOR = {"sections": 3.0, "section_size": 120.0, "core_depth": 20.0, "fins_per_inch": 16.0, "reference_flow": 3.8,
            "reference_drop": 2.5}  # fmt: skip
FAN = {"free_flow": 0.031 * 3600, "max_pressure": 18.0, "sound_level": 24.0, "rated_speed": 1200.0}
ORDER = [step("pump", speed=1.0), step("processor block", cools="processor"),
         step("graphics block", cools="graphics"),
         step("front radiator", fans="fan", fan_count=3, speed=0.75, grille_loss=0.0)]  # fmt: skip


def block(kind, role, **facts):
    return part(kind, role=role, **facts, **BLOCK)


def machine(steps=ORDER, **changes):
    lines = {
        "pump": part("pump", **PUMP),
        "processor": part("processor", heat=120.0, limit=90.0),
        "graphics": part("graphics", heat=180.0, limit=90.0),
        "processor block": part(
            "processor_block", role="processor block", resistance=0.12, reference_drop=9.0, **BLOCK
        ),
        "graphics block": part("graphics_block", role="graphics block", resistance=0.08, reference_drop=6.0, **BLOCK),
        "front radiator": part("radiator", role="front radiator", **RADIATOR),
        "fan": part("fan", quantity=3, **FAN),
        "tube": part("tube", bore=10.0),
        "coolant": part("coolant", fluid="water"),
    }
    lines.update(changes)
    loop = LoopFacts(steps=tuple(steps), case_heat_w=0.0)
    return BuildFacts(lines=tuple(line for line in lines.values() if line), loops=(loop,), room_c=22.0, room_given=True)


def point(facts):
    return operating(facts, facts.loops[0])


def test_the_example_loop_comes_out_as_calculated_elsewhere():
    result = point(machine()).result
    assert float(result.flow) * 60000 == pytest.approx(5.147, rel=0.01)
    assert float(result.mean_over_room) == pytest.approx(9.15, abs=0.2)
    assert float(result.components["processor block"]) == pytest.approx(44.01, abs=0.2)
    assert float(result.components["graphics block"]) == pytest.approx(44.35, abs=0.2)
    assert float(result.radiators["front radiator"].per_ten_kelvin) == pytest.approx(325, rel=0.01)


def test_a_cool_loop_has_no_stop_or_caution():
    assert stops(check(machine())) == cautions(check(machine())) == []


def test_a_component_above_its_limit_stops():
    found = check(machine(graphics=part("graphics", heat=180.0, limit=40.0)))
    assert any("its limit is 40 °C" in sentence for sentence in stops(found))
    assert {f.roles for f in found if f.severity == "stop"} == {("graphics block",)}


def test_a_hot_room_warms_the_coolant_past_the_plastic():
    hot = at(machine(tube=part("tube", bore=10.0, material="PETG")), room=45.0)
    assert any("softest plastic" in sentence for sentence in stops(check(hot)))


def test_a_weak_pump_is_a_matter_of_flow():
    found = check(machine(pump=part("pump", **{**PUMP, "max_pressure_head": 3.0, "max_flow": 4.0})))
    assert any("L/min" in sentence for sentence in stops(found) + cautions(found))


@pytest.mark.parametrize(
    ("role", "line", "fact"),
    [("pump", part("pump", max_flow=16.0, heat=15.0, max_coolant=60.0), "max_pressure_head"),
     ("processor", part("processor", limit=90.0), "heat"),
     ("front radiator", part("radiator", role="front radiator", sections=3.0, section_size=120.0, core_depth=20.0,
                             reference_flow=3.8, reference_drop=2.5), "fins_per_inch"),
     ("fan", part("fan", quantity=3, free_flow=100.0, rated_speed=1200.0, sound_level=20.0), "max_pressure")],
)  # fmt: skip
def test_a_missing_fact_is_asked_for_and_nothing_is_made_up(role, line, fact):
    facts = machine(**{role: line})
    assert point(facts).result is None
    assert missing(check(facts)) == {line.part: fact}


def test_a_default_is_reckoned_with_but_asked_for_and_listed():
    bare = {key: value for key, value in BLOCK.items() if key != "reference_flow"}
    facts = machine(**{"graphics block": part("graphics_block", role="graphics block", reference_drop=6.0, **bare)})
    assert point(facts).result is not None
    assert missing(check(facts)) == {"the graphics_block": "resistance, reference_flow"}
    assumed = [basis for basis in point(facts).basis if basis.origin == "assumed" and basis.role == "graphics block"]
    assert any("0.1 K/W" in basis.value for basis in assumed)


def test_every_value_tells_where_it_comes_from():
    typical = replace(part("fan", quantity=3, **FAN), facts={k: Known(v, "typical") for k, v in FAN.items()})
    origins = {(b.role, b.origin) for b in point(machine(fan=typical)).basis}
    assert ("fan", "typical") in origins
    assert ("pump", "declared") in origins
    assert ("", "declared") in origins
    assumed_room = replace(machine(), room_given=False)
    assert any(b.origin == "assumed" and b.value == "22 °C" for b in point(assumed_room).basis)


def test_a_block_that_cools_nothing_is_asked_about():
    lone = machine(processor=None)
    assert any("not said what" in sentence for sentence in cautions(check(lone)))
    assert point(lone).result is None


def test_a_radiator_without_fans_cannot_be_reckoned():
    bare = machine(steps=[*ORDER[:3], step("front radiator")])
    assert any("no fans" in sentence for sentence in cautions(check(bare)))


def test_glycol_without_its_share_is_asked_for():
    facts = machine(coolant=part("coolant", fluid="ethylene glycol"))
    assert missing(check(facts)) == {"the coolant": "mass_fraction"}


def test_a_loop_without_radiator_stops_with_the_models_own_words():
    found = check(machine(steps=ORDER[:3]))
    assert any("no radiator" in sentence for sentence in stops(found))


def test_parts_without_a_loop_are_a_caution():
    assert "no loop yet" in cautions(check(build(part("radiator"))))[0]
    assert check(build(part("memory"))) == []


def test_the_noise_wish_is_compared():
    loud = replace(machine(), noise_wish_db=15.0)
    assert any("client wishes 15 dB" in sentence for sentence in cautions(check(loud)))
    assert not cautions(check(replace(machine(), noise_wish_db=40.0)))


def test_the_dials_change_the_answer_and_not_the_build():
    facts = machine()
    fast, slow = at(facts, speeds={"front radiator": 1.0}), at(facts, speeds={"front radiator": 0.5, "pump": 0.6})
    assert float(point(fast).result.mean_over_room) == pytest.approx(7.82, abs=0.2)
    assert float(point(slow).result.flow) < float(point(facts).result.flow)
    idle = point(at(facts, heats={"processor": 0.0})).result
    assert float(idle.heat) == pytest.approx(180 + 15), "graphics board and pump alone"
    assert facts == machine()
    assert len(operating_points(facts)) == 1


def test_the_document_has_units_and_the_names_of_the_roles():
    document = model_of(machine(), machine().loops[0]).document
    pump = document["components"][0]
    assert (pump["name"], pump["max_pressure"], pump["limit"]) == ("pump", "45.0 kPa", "60.0 degC")
    assert document["components"][3]["fans"]["count"] == 3
    assert document["tubing"]["bore"] == "10.0 mm"


MEMORY = {
    "memory": part("memory", heat=20.0, limit=85.0),
    "memory block": part("memory_block", role="memory block", resistance=0.3, reference_drop=3.0, **BLOCK),
}
BOARD = {"board": part("board", heat=25.0, limit=100.0),
         "board block": part("board_block", role="board block", resistance=0.1, reference_drop=4.0,
                             cools_processor=0.0, **BLOCK)}  # fmt: skip


@pytest.mark.parametrize(("lines", "role", "watts"), [(MEMORY, "memory block", 20), (BOARD, "board block", 25)])
def test_memory_and_board_blocks_bring_their_heat_into_the_coolant(lines, role, watts):
    facts = machine(steps=[*ORDER[:3], step(role), ORDER[3]], **lines)
    result = point(facts).result
    assert float(result.heat) == pytest.approx(120 + 180 + 15 + watts)
    assert float(result.flow) < float(point(machine()).result.flow), "one more part in the way"
    assert float(result.components[role]) > float(result.nodes[role])
    assert stops(check(facts)) == []
    assert missing(check(facts)) == {}


def test_memory_above_its_limit_stops():
    warm = {**MEMORY, "memory": part("memory", heat=80.0, limit=45.0)}
    assert any(
        "its limit is 45" in said for said in stops(check(machine(steps=[*ORDER, step("memory block")], **warm)))
    )


@pytest.mark.parametrize(
    ("role", "lines", "kind"), [("memory block", MEMORY, "memory"), ("board block", BOARD, "board")]
)
def test_an_unknown_heat_or_limit_of_memory_or_board_is_asked_for(role, lines, kind):
    order = [*ORDER, step(role)]
    cold = machine(steps=order, **{**lines, kind: part(kind, limit=85.0)})
    assert point(cold).result is None
    assert missing(check(cold)) == {f"the {kind}": "heat"}
    assert missing(check(machine(steps=order, **{**lines, kind: part(kind, heat=20.0)}))) == {f"the {kind}": "limit"}
    bare = machine(steps=order, **{role: lines[role]})
    assert point(bare).result is None
    assert any("not said what" in said for said in cautions(check(bare)))


def over_both(cools=1.0, **changes):
    block = {**BLOCK, "resistance": 0.1, "reference_drop": 4.0, **({} if cools is None else {"cools_processor": cools})}
    lines = {
        **BOARD,
        "board block": part("board_block", role="board block", **block),
        "processor block": None,
        **changes,
    }
    return machine(steps=[ORDER[0], step("board block"), *ORDER[2:]], **lines)


def test_a_board_block_over_the_processor_too_takes_both_heats_and_the_lower_limit():
    both = point(over_both()).result
    assert float(both.heat) == pytest.approx(120 + 25 + 180 + 15)
    assert next(block.limit for block in both.loop.blocks if block.name == "board block") == pytest.approx(90.0)
    hot = over_both(processor=part("processor", heat=120.0, limit=40.0))
    assert any("its limit is 40" in said for said in stops(check(hot)))


def test_a_board_block_without_its_processor_or_its_word_is_asked_about():
    assert missing(check(over_both(cools=None))) == {"the board_block": "cools_processor"}
    assert any("has 0 processors" in said for said in cautions(check(over_both(processor=None))))
    assert missing(check(over_both(processor=part("processor", limit=90.0)))) == {"the processor": "heat"}


def aired(heat=60.0, **lines):
    """The board or memory block's loop with the usual heat of a case."""
    facts = machine(steps=[*ORDER, step(next(name for name in lines if "block" in name))], **lines)
    return replace(facts, loops=(replace(facts.loops[0], case_heat_w=heat, case_air_flow_m3h=80.0),))


def test_what_a_block_cools_does_not_warm_the_case_air_too():
    plain = replace(machine(), loops=(replace(machine().loops[0], case_heat_w=60.0),))
    assert case_heat_w(plain, plain.loops[0]) == 60.0
    for lines, watts in ((MEMORY, 20.0), (BOARD, 25.0)):
        facts = aired(**lines)
        assert case_heat_w(facts, facts.loops[0]) == 60.0 - watts
        assert model_of(facts, facts.loops[0]).document["case_heat"] == f"{60.0 - watts} W"
        shown = {one.what: one.value for one in point(facts).basis}
        assert shown["heat of other parts into case air"] == f"{60 - watts:g} W"
    said = aired(heat=80.0, **BOARD)
    assert case_heat_w(said, said.loops[0]) == 80.0, "what the builder measured stays"


@given(st.floats(0, 200))
def test_the_case_air_never_takes_less_than_nothing(heat):
    facts = aired(**{**BOARD, "board": part("board", heat=heat, limit=100.0)})
    assert case_heat_w(facts, facts.loops[0]) == max(0.0, 60.0 - heat)


def test_two_blocks_over_one_part_are_asked_about():
    both = over_both(
        **{"processor block": block("processor_block", "second block", resistance=0.1, reference_drop=9.0)}
    )
    facts = replace(both, loops=(replace(both.loops[0], steps=(*both.loops[0].steps, step("second block"))),))
    assert "the board_block and the processor_block are both said to cool the processor" in " ".join(
        cautions(check(facts))
    )
    assert not any("both said" in said for said in cautions(check(over_both())))


@given(st.floats(0, 400), st.floats(1, 200))
@settings(max_examples=25, deadline=None)
def test_more_heat_never_runs_cooler(watts, more):
    cool, warm = (point(at(machine(), heats={"processor": heat})).result for heat in (watts, watts + more))
    assert float(warm.mean_over_room) >= float(cool.mean_over_room)
    assert len(stops(check(at(machine(), heats={"processor": watts})))) <= len(
        stops(check(at(machine(), heats={"processor": watts + more})))
    )
