"""The soak test: steady or not, inside or outside what was foretold."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.proving import soak
from builds.proving.judgement import FAILED, OPEN, PASSED, Flow, Limits, Machine, Predicted

LIMITS = Limits()
LOOP = Machine(
    predicted=(
        Predicted("coolant", "coolant", 9.2, 7.5, 11.5, limit_c=55.0),
        Predicted("processor", "processor", 22.0, 17.0, 29.0, limit_c=90.0),
    ),
    heat_w=315.0,
    time_constant_min=4.0,
    room_warmest_c=28.0,
)


def said(machine=LOOP, **changed):
    measured = {
        "load": 315.0, "minutes": 60.0, "between": 10.0,
        "room_1": 22.0, "coolant_1": 31.1, "room": 22.1, "coolant": 31.3, "processor": 44.0,
    }  # fmt: skip
    return soak.judge({**measured, **changed}, machine, LIMITS)


def test_steady_and_inside_passes_without_a_finding():
    judged = said()
    assert judged.outcome == PASSED
    assert not judged.findings


def test_a_limit_or_a_room_that_nobody_knows_is_said_and_is_no_silent_pass():
    unlimited = Predicted("graphics", "graphics board", 20.0, 15.0, 27.0, limit_c=None)
    blind = Machine(predicted=(*LOOP.predicted, unlimited), heat_w=315.0, time_constant_min=4.0)
    judged = said(blind, graphics=45.0)
    assert judged.outcome == PASSED
    limit, room = judged.findings
    assert "No limit is known for graphics board" in limit
    assert "names no warmest room" in room
    assert "3 of 3 temperatures" in judged.reasons[0], "what was not judged is not what lies outside"


def test_differences_count_over_the_room():
    # Eight kelvin warmer all through: the same machine.
    assert not said(room_1=30.0, coolant_1=39.1, room=30.1, coolant=39.3, processor=52.0).findings


def test_a_rise_that_follows_a_time_constant_is_steady_only_after_five():
    """First-order step response: 1 − exp(−t/τ), 99.3 % at 5 τ (any control textbook)."""
    tau, final = 12.0, 12.0
    slow = Machine(predicted=LOOP.predicted, time_constant_min=tau)

    def at(minutes):
        rise = final * (1 - math.exp(-minutes / tau))
        before = final * (1 - math.exp(-(minutes - 10) / tau))
        return said(slow, minutes=minutes, room_1=22.0, room=22.0, coolant_1=22 + before, coolant=22 + rise)

    assert at(30).outcome == OPEN
    assert at(59).outcome == OPEN
    assert at(75).outcome == PASSED


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"minutes": 20.0}, "at least 30 min"),
        ({"coolant_1": 29.0}, "still moves"),
        ({"coolant_1": 30.4}, "still moves"),  # 0.8 K in ten minutes: the case's metal is slower than the loop
        ({"room_1": 20.0, "coolant_1": 29.1}, "room drifts"),
        ({"between": 5.0}, "apart"),
    ],
)
def test_what_is_not_steady_is_not_judged(changed, words):
    judged = said(**changed)
    assert judged.outcome == OPEN
    assert any(words in reason for reason in judged.reasons)


def test_a_hot_coolant_points_to_the_air_side():
    judged = said(coolant=35.3, coolant_1=35.1)
    assert judged.outcome == PASSED
    assert "above the 7.5–11.5 K" in judged.findings[0]
    assert "air side" in judged.causes[0]


def test_a_hot_processor_over_sound_coolant_points_to_its_block():
    assert "paste" in said(processor=58.0).causes[0]


def test_cooler_than_foretold_points_to_load_and_sensors():
    judged = said(coolant=26.0, coolant_1=25.9)
    assert judged.outcome == PASSED
    assert any("less heat" in cause for cause in judged.causes)


def test_above_a_parts_limit_fails_even_before_it_is_steady():
    judged = said(processor=93.0, minutes=5.0)
    assert judged.outcome == FAILED
    assert "90 °C" in judged.reasons[0]


def test_what_would_pass_a_limit_in_the_warmest_room_fails():
    judged = said(processor=86.0)  # 63.9 K over a room of 22.1 °C: 91.9 °C at 28 °C
    assert judged.outcome == FAILED
    assert "warmest room promised, 28 °C" in judged.reasons[0]


def test_a_machine_without_a_loop_is_not_judged():
    assert said(Machine()).outcome == OPEN


FLOWING = replace(LOOP, flow=Flow(3.8, 3.3, 4.4))


@pytest.mark.parametrize(("flow", "word"), [(2.1, "below"), (5.0, "above")])
def test_a_flow_outside_what_was_foretold_is_a_finding_and_no_failure(flow, word):
    judged = said(FLOWING, flow=flow)
    assert judged.outcome == PASSED
    (finding,) = judged.findings
    assert f"{flow:.1f} L/min, {word} the 3.3–4.4 L/min foretold" in finding


def test_low_flow_says_where_to_look_first():
    assert any("kink" in cause for cause in said(FLOWING, flow=2.1).causes)
    assert any("meter" in cause for cause in said(FLOWING, flow=5.0).causes)


@given(flow=st.floats(0, 50))
def test_only_a_flow_within_what_was_foretold_passes_without_a_word(flow):
    assert bool(said(FLOWING, flow=flow).findings) == (not 3.3 <= flow <= 4.4)


@pytest.mark.parametrize(("machine", "measured"), [(FLOWING, {}), (FLOWING, {"flow": None}), (LOOP, {"flow": 2.1})])
def test_a_flow_not_measured_or_not_foretold_is_not_judged(machine, measured):
    assert not said(machine, **measured).findings


def test_it_is_asked_for_only_where_the_model_foretells_one():
    names = [measure.name for measure in soak.measures(FLOWING, LIMITS)]
    assert "flow" in names
    assert "flow" not in [measure.name for measure in soak.measures(LOOP, LIMITS)]
    assert ("flow", "3.8 L/min foretold, 3.3–4.4 L/min") in soak.limit_lines(FLOWING, LIMITS)
