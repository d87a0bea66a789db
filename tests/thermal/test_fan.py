"""Fans: curve, affinity, several of them, measured points."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from tests.thermal.loops import radiator
from thermal.air import air_at
from thermal.fan import Fans, monotone_slopes
from thermal.faults import LoopFault

AIR = air_at(20.0, 101325.0)
MEASURED = ((0.0, 20.0), (0.008, 16.0), (0.015, 13.5), (0.024, 7.0), (0.031, 0.0))
DIPPED = ((0.0, 24.0), (0.008, 14.0), (0.012, 13.0), (0.018, 14.5), (0.026, 8.0), (0.033, 0.0))


def test_the_declared_curve_meets_both_its_ends():
    fan = Fans(count=1, free_flow=0.03, max_pressure=20.0)
    assert fan.pressure(0.0) == 20.0
    assert fan.pressure(0.03) == pytest.approx(0.0, abs=1e-12)


def test_affinity_laws():
    """AMCA 201: on one system curve ∝ Q², flow goes as speed and pressure as its square."""
    system = 2.0e4  # Pa/(m³/s)², a plain quadratic resistance in place of the core

    class Grille(type(radiator())):
        def air_pressure_drop(self, flow, air):
            return system * flow * flow

    facts = {"sections": 3, "core_depth": 0.02, "fins_per_inch": 16.0}
    fans = Fans(count=3, free_flow=0.031, max_pressure=18.0)
    slow, fast = (Grille(name="a", fans=fans, fan_speed=speed, **facts).breeze(AIR) for speed in (0.5, 1.0))
    assert fast.flow / slow.flow == pytest.approx(2.0, rel=1e-9)
    assert fast.pressure_drop / slow.pressure_drop == pytest.approx(4.0, rel=1e-9)


def test_at_the_breeze_fans_and_core_agree():
    for core in (radiator(), radiator(layers=2, fans={"count": 6}, fan_speed=0.7), radiator(fans={"curve": MEASURED})):
        breeze = core.breeze(AIR)
        assert core.fan_pressure(breeze.flow, AIR) == pytest.approx(float(breeze.pressure_drop), rel=1e-8)


def test_thin_air_weakens_the_fan():
    """Fan laws (AMCA 201): pressure goes as density, so a quadratic system passes the same volume."""
    thin = air_at(20.0, 75000.0)
    here, there = radiator().breeze(AIR), radiator().breeze(thin)
    assert there.pressure_drop < here.pressure_drop
    assert there.flow == pytest.approx(here.flow, rel=0.12)


def test_push_and_pull_doubles_the_pressure_not_the_free_flow():
    single = radiator(fans={"count": 3}).breeze(AIR)
    double = radiator(fans={"count": 6}, layers=2).breeze(AIR)
    stronger = radiator(fans={"count": 3, "max_pressure": 36.0}).breeze(AIR)
    assert double.flow == pytest.approx(stronger.flow, rel=1e-12)
    assert single.flow < double.flow < 3 * 0.031


def test_a_wider_radiator_with_more_fans_has_the_same_breeze_each():
    small = radiator(fans={"count": 1}, sections=1).breeze(AIR)
    large = radiator(fans={"count": 4}, sections=4).breeze(AIR)
    assert large.flow == pytest.approx(4.0 * small.flow, rel=1e-12)
    assert large.pressure_drop == pytest.approx(small.pressure_drop, rel=1e-12)


def test_measured_points_are_met_and_interpolated_as_the_reference_does():
    """scipy.interpolate.PchipInterpolator is an independent code of the same published method."""
    fan = Fans(count=1, curve=MEASURED)
    flows, pressures = np.array(MEASURED).T
    at = np.linspace(0.0, 0.031, 301)
    assert fan.pressure(flows) == pytest.approx(pressures, abs=1e-12)
    assert fan.pressure(at) == pytest.approx(PchipInterpolator(flows, pressures)(at), abs=1e-10)
    assert np.all(np.diff(fan.pressure(at)) <= 0.0)


@given(st.lists(st.floats(-50.0, 50.0), min_size=3, max_size=9))
def test_slopes_agree_with_the_reference_on_any_points(heights):
    x, y = np.cumsum(np.linspace(1.0, 2.0, len(heights))), np.round(heights, 3)
    reference = PchipInterpolator(x, y).derivative()(x)
    assert monotone_slopes(x, y) == pytest.approx(reference, abs=1e-9)


def test_a_curve_is_carried_on_to_both_axes():
    fan = Fans(count=1, curve=((0.01, 15.0), (0.02, 9.0), (0.025, 5.0)))
    assert fan.curve[0] == (0.0, 15.0)
    assert fan.free_flow == pytest.approx(0.03125)
    assert fan.max_pressure == 15.0


def test_of_several_crossings_the_highest_flow_counts():
    core = radiator(fans={"count": 3, "curve": DIPPED}, grille_loss=0.0, core_depth=0.02)
    breeze = core.breeze(AIR)
    flows = np.linspace(1e-4, 3 * 0.033, 20001)
    excess = AIR.density / 1.2 * core.fans.pressure(flows / 3) - core.air_pressure_drop(flows, AIR)
    crossings = flows[:-1][(excess[:-1] > 0) & (excess[1:] <= 0)]
    assert breeze.flow == pytest.approx(crossings[-1], rel=1e-3)


def test_a_curve_with_a_dip_that_crosses_thrice():
    """A dense core whose drop runs through the dip: three crossings, the last one is the answer."""
    core = radiator(
        fans={"count": 3, "curve": ((0.0, 24.0), (0.008, 6.0), (0.016, 13.0), (0.026, 8.0), (0.033, 0.0))},
        core_depth=0.05,
        fins_per_inch=20.0,
    )
    flows = np.linspace(1e-4, 3 * 0.033, 20001)
    excess = AIR.density / 1.2 * core.fans.pressure(flows / 3) - core.air_pressure_drop(flows, AIR)
    crossings = flows[:-1][(excess[:-1] > 0) & (excess[1:] <= 0)]
    assert len(crossings) > 1
    assert core.breeze(AIR).flow == pytest.approx(crossings[-1], rel=1e-3)


@pytest.mark.parametrize(
    ("facts", "word"),
    [
        ({"max_pressure": 0.0, "free_flow": 0.03}, "max_pressure: 0 Pa is too low; it must be above 0"),
        ({"free_flow": -0.03, "max_pressure": 18.0}, "free_flow: -0.03 m³/s is too low"),
        ({"free_flow": float("nan"), "max_pressure": 18.0}, "free_flow: nan is not a number"),
        ({"free_flow": 0.03}, "max_pressure: is missing"),
        ({"curve": ((0.0, 1.0), (0.1, 0.5))}, "at least three points"),
        ({"curve": ((0.0, 9.0), (0.2, 5.0), (0.1, 1.0))}, "rising flow"),
        ({"curve": ((0.0, 9.0), (0.1, -5.0), (0.2, 1.0))}, "none below 0"),
        ({"curve": ((0.0, 9.0), (0.1, 5.0), (0.2, 5.0))}, "must fall at its end"),
        ({"curve": ((0.0, float("nan")), (0.1, 5.0), (0.2, 0.0))}, "numbers that can be used"),
        ({"curve": "steep"}, "list of pairs"),
    ],
)
def test_a_fan_that_cannot_be_is_refused(facts, word):
    with pytest.raises(LoopFault, match=word):
        Fans(count=1, **facts)
