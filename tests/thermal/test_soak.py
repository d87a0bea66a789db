"""The soak test: how long to wait, when a log is steady, and the usual mishaps."""

import math

import numpy as np
import pytest

from tests.thermal.loops import block, loop, pump, radiator
from thermal.component import Reservoir
from thermal.faults import LoopFault
from thermal.loop import solve
from thermal.result import Result
from thermal.soak import (
    coolant_volume,
    find_steady,
    heat_capacity,
    least_minutes,
    time_constant,
    what_if,
)
from thermal.tubing import Tubing

TAU = 240.0


def log(minutes=90, step=10.0, tau=TAU, load=200.0, noise=0.0, room_drift=0.0):
    """A log of a loop that warms from 22 °C by 10 K: times, room, coolant, load."""
    times = np.arange(0.0, minutes * 60.0, step)
    room = 22.0 + room_drift * times / 3600.0
    coolant = room + 10.0 * (1.0 - np.exp(-times / tau))
    coolant = coolant + noise * np.random.default_rng(2).standard_normal(len(times))
    return times, room, coolant, np.full(len(times), load)


# Tubing by bore, mL a metre (π/4·d²): 8, 10, 12.7, 13 mm
@pytest.mark.parametrize(("bore", "millilitres"), [(8, 50.27), (10, 78.54), (12.7, 126.68), (13, 132.73)])
def test_tube_volume(bore, millilitres):
    assert Tubing(bore=bore / 1000).area * 1e6 == pytest.approx(millilitres, abs=0.01)


def test_volumes_add_up_and_declared_ones_win():
    one = loop(pump(volume=40e-6), block(volume=25e-6), Reservoir(name="tank", volume=300e-6), radiator(volume=2e-4))
    assert coolant_volume(one) == pytest.approx(2.0 * math.pi / 4 * 0.01**2 + 565e-6)
    assert radiator().holds == pytest.approx(12 * 0.36 * 19.6e-3 * 1.6e-3 + 90e-6)


def test_heat_capacity_by_hand():
    """Water 4,161 kJ/m³K at 30 °C; copper 8,940 kg/m³ and 385 J/kgK; masses as declared typical."""
    one = loop(pump(volume=0.0), block(volume=0.0), radiator(volume=500e-6))
    water = (500e-6 + 2.0 * math.pi / 4 * 0.01**2) * 995.649 * 4179.82
    fins = 0.8708 / 2 * 5e-5
    tubes = 12 * 0.36 * 2 * 0.022 * 2e-4
    metal = ((fins + tubes) * 8940 + 3 * 0.25 + 0.45) * 385
    assert heat_capacity(one) == pytest.approx(water + metal, rel=0.002)


def test_time_constant_and_waiting():
    result = solve(loop())
    assert time_constant(result) == pytest.approx(
        heat_capacity(loop(), float(result.mean)) * float(result.mean_over_room) / 215.0
    )
    assert time_constant(solve(loop(pump(heat=0.0), block(heat=0.0), radiator()))) == math.inf
    assert least_minutes(TAU) == 30.0
    assert least_minutes(900.0) == 75.0


def test_a_settled_log_is_steady_and_averaged():
    times, room, coolant, load = log(noise=0.05)
    found = find_steady(times, room, coolant, TAU, loads=[load], others={"processor": coolant + 15.0})
    assert found.steady
    assert found.why == ""
    assert found.means["coolant"] - found.means["room"] == pytest.approx(10.0, abs=0.02)
    assert found.means["processor"] == pytest.approx(found.means["coolant"] + 15.0)
    assert found.end - found.start == pytest.approx(600.0, abs=10.0)


@pytest.mark.parametrize(
    ("facts", "why"),
    [
        ({"minutes": 8}, "short"),
        ({"minutes": 25}, "time"),
        ({"tau": 1500.0, "minutes": 45}, "drift"),
        ({"room_drift": 4.0}, "room"),
    ],
)
def test_a_log_that_is_not_steady_says_why(facts, why):
    times, room, coolant, load = log(**facts)
    found = find_steady(times, room, coolant, TAU, loads=[load])
    assert not found.steady
    assert found.why == why


@pytest.mark.parametrize(("change", "counts"), [(0.06, True), (0.04, False)])
def test_the_clock_starts_anew_when_the_load_changes(change, counts):
    times, room, coolant, load = log()
    load[times < 4000.0] *= 1.0 + change
    found = find_steady(times, room, coolant, TAU, loads=[load])
    assert found.waited == pytest.approx(5390.0 - 3990.0 if counts else 5390.0)
    assert found.steady is not counts


def test_the_clock_starts_anew_when_a_fan_changes_speed():
    times, room, coolant, _ = log()
    speed = np.where(times < 4500.0, 1000.0, 1040.0)
    assert find_steady(times, room, coolant, TAU, speeds=[speed]).why == "time"


@pytest.mark.parametrize(
    ("change", "word"),
    [
        (lambda t, r, c: (t[::-1], r, c), "must rise"),
        (lambda t, r, c: (t, r[:-1], c), "different length"),
        (lambda t, r, c: (t, r, np.where(t > 100, np.nan, c)), "not a number"),
        (lambda t, r, c: (t[:1], r[:1], c[:1]), "at least two lines"),
    ],
)
def test_a_log_that_cannot_be_is_refused(change, word):
    times, room, coolant, _ = log()
    with pytest.raises(LoopFault, match=word):
        find_steady(*change(times, room, coolant), TAU)


def test_the_usual_mishaps():
    one = loop(pump(), block(), radiator(), radiator("top", layers=2, fans={"count": 6}))
    cases = what_if(one)
    assert list(cases) == [
        ("fan stopped", "front"), ("fan stopped", "top"), ("half pump speed", ""), ("room 10 K warmer", ""),
        ("dust", ""),
    ]  # fmt: skip
    base = solve(one)
    for key, result in cases.items():
        assert isinstance(result, Result), key
        assert result.mean > base.mean, key
    assert cases["half pump speed", ""].flow < 0.6 * base.flow
    assert cases["room 10 K warmer", ""].mean == pytest.approx(base.mean + 10.0, abs=0.5)
    assert cases["dust", ""].radiators["front"].air_flow == pytest.approx(0.8 * base.radiators["front"].air_flow)


def test_a_mishap_without_an_answer_is_told_as_a_fault():
    single = loop(pump(), block(), radiator(sections=1, fans={"count": 1}))
    assert "no fan runs" in str(what_if(single)["fan stopped", "front"])
