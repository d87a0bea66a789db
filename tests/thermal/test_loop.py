"""The whole loop: its balances, and the way it must move."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.thermal.loops import block, examples, loop, loops, pump, radiator, radiators
from thermal.air import density
from thermal.component import Reservoir
from thermal.coolant import Coolant
from thermal.faults import LoopFault
from thermal.judging import judge
from thermal.loop import Factors, Loop, solve
from thermal.tubing import Tubing

ROOM = st.just("room")


def solved(any_loop):
    """The Result, or None where the heat is too much for the coolant's table."""
    result = solve(any_loop, strict=False)
    return None if np.any(result.outside) else result


def air_capacity(result, name):
    """ρ·cp·Q [W/K] of a radiator's air, from what the result says of it."""
    one = result.radiators[name]
    return density(one.air_inlet, result.loop.air_pressure) * 1006.5 * one.air_flow


# The coolant's rise through a heat: ΔT = P/(ρ·q·cp) with CoolProp's water at 30 °C
@pytest.mark.parametrize(
    ("heat", "litres_an_hour", "rise"), [(300.0, 60.0, 4.325), (300.0, 200.0, 1.298), (500.0, 60.0, 7.209)]
)
def test_rise_through_a_block(heat, litres_an_hour, rise):
    water = Coolant("water").properties(30.0)
    capacity = water.density * water.heat_capacity * litres_an_hour / 3.6e6
    assert heat / capacity == pytest.approx(rise, rel=0.002)


def test_the_coolant_warms_through_blocks_and_cools_in_radiators():
    result = solve(loop(pump(heat=0.0), block(heat=200.0), radiator()))
    water = Coolant("water").properties(result.mean)
    rise = 200.0 / (water.density * water.heat_capacity * result.flow)
    assert result.nodes["processor"] == pytest.approx(result.nodes["pump"], abs=1e-9)
    assert result.nodes["front"] - result.nodes["processor"] == pytest.approx(rise, rel=1e-6)
    assert result.warmest == result.nodes["front"]
    assert result.coolest == min(result.nodes["pump"], result.nodes["processor"])
    assert result.mean == pytest.approx(np.mean(list(result.nodes.values())))


def test_reservoirs_do_not_count_in_the_mean():
    plain = loop(pump(), block(), radiator())
    with_one = loop(pump(), block(), Reservoir(name="reservoir", reference_drop=0.0), radiator())
    assert solve(with_one).mean == pytest.approx(solve(plain).mean, abs=1e-6)
    assert list(solve(with_one).nodes) == ["pump", "processor", "reservoir", "front"]


@examples(150)
@given(loops())
def test_every_balance_closes(any_loop):
    """Heat of the coolant, heat of each radiator's air, pressure, case air: each from the result alone."""
    result = solved(any_loop)
    if result is None:
        return
    assert result.converged
    assert result.energy_residual < 1e-6
    heats = sum(one.heat for one in result.radiators.values())
    assert heats == pytest.approx(sum(part.heat for part in any_loop.components), rel=1e-6)
    for name, one in result.radiators.items():
        assert one.heat == pytest.approx(one.conductance * (result.nodes[name] - one.air_inlet), rel=1e-6, abs=1e-6)
        assert one.air_outlet - one.air_inlet == pytest.approx(one.heat / air_capacity(result, name), rel=1e-9)
    assert any_loop.resistance(result.flow, result.mean) == pytest.approx(result.pressure, rel=1e-6)
    inward = density(result.room, any_loop.air_pressure) * 1006.5 * any_loop.case_air_flow
    outward, into_case = 0.0, any_loop.case_heat
    for part in any_loop.radiators:
        way = part.draws_from, part.blows_to
        inward += air_capacity(result, part.name) if way == ("room", "case") else 0.0
        outward += air_capacity(result, part.name) if way == ("case", "room") else 0.0
        into_case += result.radiators[part.name].heat if part.blows_to == "case" else 0.0
    warmed = max(inward, outward) * (result.case_air - result.room)
    assert warmed == pytest.approx(into_case, rel=1e-5, abs=1e-4)


@examples(60)
@given(loops(draws_from=ROOM, blows_to=ROOM), st.floats(1.02, 2.0))
def test_more_fan_speed_never_warms(any_loop, factor):
    names = [one.name for one in any_loop.radiators]
    faster = {one.name: {"fan_speed": one.fan_speed * min(factor, 3.0 / one.fan_speed)} for one in any_loop.radiators}
    before, after = solved(any_loop), solved(any_loop.with_parts(**faster))
    if before is None:
        return
    assert names == list(after.radiators)
    assert after.mean <= before.mean + 1e-6
    assert after.warmest <= before.warmest + 1e-6


@examples(60)
@given(loops(), st.floats(1.0, 200.0))
def test_more_heat_never_cools(any_loop, more):
    first = any_loop.blocks[0]
    before = solved(any_loop)
    after = solved(any_loop.with_parts(**{first.name: {"heat": first.heat + more}}))
    if before is None or after is None:
        return
    assert after.mean >= before.mean - 1e-6
    assert after.components[first.name] >= before.components[first.name] - 1e-6


@examples(60)
@given(loops(), st.floats(0.1, 10.0))
def test_a_warmer_room_never_cools(any_loop, more):
    before = solved(any_loop)
    after = solved(replace(any_loop, room_temperature=any_loop.room_temperature + more))
    if before is None or after is None:
        return
    assert after.mean >= before.mean - 1e-6
    assert after.case_air >= before.case_air - 1e-6


@examples(60)
@given(loops(), radiators("one more", ROOM, ROOM), st.integers(0, 4))
def test_one_more_radiator_without_drop_never_warms(any_loop, more, place):
    """It adds no drop, draws from the room and blows to it."""
    more = replace(more, reference_drop=0.0)
    parts = list(any_loop.components)
    parts.insert(place, more)
    before, after = solved(any_loop), solved(replace(any_loop, components=parts))
    if before is None:
        return
    old = [after.nodes[name] for name in before.nodes if not name.startswith(("reservoir", "valve"))]
    assert np.mean(old) <= before.mean + 1e-6


def test_push_pull_cools_more_and_a_second_radiator_cools_more():
    one = solve(loop())
    assert solve(loop(pump(), block(), radiator(layers=2, fans={"count": 6}))).mean < one.mean
    assert solve(loop(pump(), block(), radiator(), radiator("top", reference_drop=0.0))).mean < one.mean


def test_case_air_warms_what_draws_from_it():
    """One radiator blows into the case, the other draws from it and out: the second's air is warmer."""
    result = solve(loop(pump(), block(heat=400.0), radiator(blows_to="case"), radiator("top", draws_from="case")))
    front, top = result.radiators["front"], result.radiators["top"]
    assert front.air_inlet == 22.0
    assert top.air_inlet == result.case_air
    assert top.heat < front.heat
    assert result.case_air == pytest.approx(22.0 + front.heat / air_capacity(result, "front"), abs=0.15)


def test_glycol_flows_less_and_runs_warmer():
    water = solve(loop())
    mixture = solve(loop(coolant=Coolant("propylene glycol", 0.4)))
    assert mixture.flow < water.flow
    assert mixture.mean > water.mean


def test_altitude_warms():
    assert solve(loop(air_pressure=80000.0)).mean > solve(loop()).mean


def test_a_range_gives_what_scalar_solves_give():
    rng = np.random.default_rng(3)
    spread = {name: rng.lognormal(0.0, 0.1, 40) for name in ("air_flow", "air_side", "pump", "drops")}
    resistance, heat, room = rng.lognormal(0.0, 0.1, 40), rng.lognormal(0.0, 0.1, 40), rng.normal(0.0, 1.0, 40)
    one = loop(pump(), block(), radiator(blows_to="case"), radiator("top", draws_from="case"))
    many = solve(one, Factors(**spread, resistance={"processor": resistance}, heat={"processor": heat}, room=room))
    assert many.mean.shape == (40,)
    for i in range(0, 40, 7):
        single = {name: values[i] for name, values in spread.items()}
        factors = Factors(**single, resistance={"processor": resistance[i]}, heat={"processor": heat[i]}, room=room[i])
        result = solve(one, factors)
        assert many.mean[i] == pytest.approx(result.mean, abs=1e-6)
        assert many.flow[i] == pytest.approx(result.flow, rel=1e-8)
        assert many.components["processor"][i] == pytest.approx(result.components["processor"], abs=1e-6)
        assert many.radiators["top"].heat[i] == pytest.approx(result.radiators["top"].heat, rel=1e-7)


def test_facts_may_be_arrays_too():
    """Fan speeds of a plot down, samples of the range across."""
    speeds = np.array([[0.5], [0.75], [1.0]])
    result = solve(loop(pump(), block(), radiator(fan_speed=speeds)), Factors(air_side=np.array([0.8, 1.0])))
    assert result.mean.shape == (3, 2)
    assert np.all(np.diff(result.mean, axis=0) < 0.0)
    assert np.all(np.diff(result.mean, axis=1) < 0.0)
    assert result.mean[1, 1] == pytest.approx(solve(loop(pump(), block(), radiator(fan_speed=0.75))).mean, abs=1e-6)


def test_factors_push_where_they_should():
    base = solve(loop())
    assert solve(loop(), Factors(air_flow=1.2)).radiators["front"].air_flow == pytest.approx(
        1.2 * base.radiators["front"].air_flow
    )
    assert solve(loop(), Factors(pump=1.2)).flow > base.flow
    assert solve(loop(), Factors(drops=1.2)).flow < base.flow
    assert solve(loop(), Factors(room=2.0)).mean == pytest.approx(base.mean + 2.0, abs=0.1)
    hotter = solve(loop(), Factors(resistance={"processor": 1.5}))
    assert hotter.mean == pytest.approx(base.mean, abs=1e-9)
    step = base.components["processor"] - base.nodes["processor"]
    assert hotter.components["processor"] == pytest.approx(base.nodes["processor"] + 1.5 * step, abs=1e-6)


def test_no_heat_at_all_leaves_everything_at_room_temperature():
    result = solve(loop(pump(heat=0.0), block(heat=0.0), radiator()))
    assert list(result.nodes.values()) == pytest.approx([22.0] * 3, abs=1e-9)
    assert result.converged


@pytest.mark.parametrize("still", [{"fan_speed": 0.0}, {"stopped": 3}])
def test_a_radiator_without_wind_carries_nothing(still):
    result = solve(loop(pump(), block(), radiator(), radiator("top", reference_drop=0.0, **still)))
    top = result.radiators["top"]
    assert [top.heat, top.air_flow, top.air_pressure_drop, top.fan_part, top.ua, top.conductance] == [0.0] * 6
    assert top.air_outlet == 22.0
    assert result.converged
    without = solve(loop(pump(), block(), radiator()))
    assert result.components["processor"] == pytest.approx(without.components["processor"], abs=0.001)
    assert "stall" not in [remark.key for remark in judge(result)]


def test_a_loop_without_any_drop_runs_at_free_flow():
    free = loop(
        pump(), block(reference_drop=0.0), radiator(reference_drop=0.0), tubing=Tubing(length=0.0, fitting_loss=0.0)
    )
    assert solve(free).flow == pytest.approx(16.0 / 60000.0)


def test_a_loop_without_blocks_still_runs():
    assert solve(loop(pump(), radiator())).components == {}


@pytest.mark.parametrize(
    ("make", "field", "word"),
    [
        (lambda: loop(pump(), block()), "components", "no radiator"),
        (lambda: loop(block(), radiator()), "components", "no pump"),
        (lambda: Loop(components=(), room_temperature=22.0), "components", "no pump"),
        (lambda: loop(pump(speed=0.0), block(), radiator()), "pump.speed", "flow cannot start"),
        (lambda: loop(pump(), block(), radiator(fan_speed=0.0)), "front.fan_speed", "no fan runs"),
        (lambda: loop(pump(), block(), radiator(stopped=3)), "front.fan_speed", "no fan runs"),
        (lambda: loop(pump(), pump(), block(), radiator()), "components", "“pump” is there 2 times"),
        (lambda: loop(case_heat=50.0), "case_heat", "no air passes the case"),
        (lambda: loop(pump(), radiator(draws_from="case", blows_to="case")), "case_air_flow", "need air"),
        (lambda: loop(room_temperature=float("nan")), "room_temperature", "not a number"),
        (lambda: loop(room_temperature=80.0), "room_temperature", "at most 60"),
        (lambda: loop(pump(), block(heat=-5.0), radiator()), "processor.heat", "at least 0"),
        (lambda: loop(pump(), block(heat=None), radiator()), "processor.heat", "is missing"),
        (lambda: loop(pump(max_pressure=0.0), radiator()), "pump.max_pressure", "above 0"),
    ],
)
def test_a_loop_that_cannot_run_is_refused_by_name(make, field, word):
    with pytest.raises(LoopFault, match=word) as refusal:
        make()
    assert refusal.value.field == field


def test_all_faults_are_named_at_once():
    with pytest.raises(LoopFault) as refusal:
        loop(block("a"), block("a"))
    assert [fault.what[:12] for fault in refusal.value.each()] == ["“a” is there", "there is no ", "there is no "]


def test_coolant_outside_its_table_is_a_fault_not_a_number():
    hot = loop(pump(), block(heat=3000.0), radiator(fan_speed=0.2, sections=1, fans={"count": 1}))
    with pytest.raises(LoopFault, match=r"coolant: would reach \d+ °C; its figures hold from 5 to 90 °C"):
        solve(hot)
    assert solve(hot, strict=False).outside
    with pytest.raises(LoopFault, match="coolant: would reach"):
        solve(loop(room_temperature=-15.0))
