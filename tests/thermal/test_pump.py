"""Pumps against closed forms and textbook systems."""

import math

import numpy as np
import pytest

from tests.thermal.loops import loop, pump, radiator
from thermal.component import Passive
from thermal.loop import solve
from thermal.pump import Pump
from thermal.roots import falling_root
from thermal.tubing import Tubing


def test_pump_on_a_quadratic_system():
    """H0 − aQ² = kQ² has Q = √(H0/(a + k)): algebra."""
    one = Pump(name="pump", max_flow=3e-4, max_pressure=40e3)
    system = 6e11
    flow = falling_root(lambda q: one.pressure(q) - system * q * q, 0.0, one.max_flow)
    assert flow == pytest.approx(math.sqrt(40e3 / (40e3 / 3e-4**2 + system)), rel=1e-9)


def test_pump_on_a_system_with_static_head():
    """End-of-chapter problem after Çengel & Cimbala (from memory): 7.429 L/min, 4.960 m."""
    one = Pump(name="pump", max_flow=math.sqrt(7.46 / 0.0453) / 60000.0, max_pressure=7.46)
    flow = falling_root(lambda q: one.pressure(q) - 3.52 - 0.0261 * (q * 60000.0) ** 2, 0.0, one.max_flow)
    assert flow * 60000.0 == pytest.approx(7.429, rel=0.001)
    assert one.pressure(flow) == pytest.approx(4.960, rel=0.001)


def test_root_on_a_tabulated_pump_curve():
    """Munson, Young & Okiishi, Fundamentals of Fluid Mechanics, example 12.4: 1590–1592 gpm at 65.7 ft."""
    flows = np.array([0.0, 400.0, 800.0, 1400.0, 1800.0, 2200.0, 2300.0])
    heads = np.array([88.0, 86.0, 81.0, 70.0, 60.0, 46.0, 40.0])
    flow = falling_root(lambda q: np.interp(q, flows, heads) - 10.0 - 2.201e-5 * q * q, 0.0, 2300.0)
    assert flow == pytest.approx(1591.0, rel=0.015)
    assert 10.0 + 2.201e-5 * flow * flow == pytest.approx(65.7, rel=0.015)


def test_affinity_laws():
    """q ∝ N and Δp ∝ N²: any text on pumps; on a quadratic system the duty point moves along it."""
    full, half = (Pump(name="pump", max_flow=3e-4, max_pressure=40e3, speed=n) for n in (1.0, 0.5))
    assert half.pressure(1e-4) == pytest.approx(full.pressure(2e-4) / 4.0)


def test_two_pumps_in_series_double_the_pressure():
    one = loop(pump(), radiator())
    two = loop(pump("a"), pump("b"), radiator())
    assert two.pump_pressure(1e-4) == pytest.approx(2.0 * one.pump_pressure(1e-4))
    assert solve(two).flow > solve(one).flow


def test_a_stopped_pump_in_series_resists():
    alone = solve(loop(pump("a"), radiator()))
    with_stopped = solve(loop(pump("a"), pump("b", speed=0.0), radiator()))
    assert 0.0 < with_stopped.flow < alone.flow


def test_drop_follows_the_declared_point_and_its_exponent():
    """Blasius: Δp ∝ q^1.75."""
    part = Passive(name="valve", reference_flow=1e-4, reference_drop=2000.0)
    assert part.pressure_drop(1e-4) == pytest.approx(2000.0)
    assert part.pressure_drop(2e-4) == pytest.approx(2000.0 * 2**1.75)


def test_at_the_operating_point_pump_and_loop_agree():
    result = solve(loop())
    assert result.loop.resistance(result.flow, result.mean) == pytest.approx(float(result.pressure), rel=1e-9)


# fluids.friction_factor 1.3.1, water at 30 °C in 10 mm bore: Pa a metre at 2, 4, 6 L/min
@pytest.mark.parametrize(("litres", "pascals"), [(2.0, 329.7), (4.0, 1090.8), (6.0, 2211.0)])
def test_tubing_against_the_fluids_library(litres, pascals):
    water = loop().coolant.properties(30.0)
    straight = Tubing(length=1.0, bore=0.010, fitting_loss=0.0)
    assert straight.pressure_drop(litres / 60000.0, water) == pytest.approx(pascals, rel=0.03)


def test_fittings_add_their_velocity_heads():
    """Darcy–Weisbach: K velocity heads, ½ρV², by definition."""
    water = loop().coolant.properties(30.0)
    fittings = Tubing(length=0.0, bore=0.010, fitting_loss=10.0)
    speed = 1e-4 / (math.pi / 4.0 * 0.010**2)
    assert fittings.pressure_drop(1e-4, water) == pytest.approx(10.0 * 0.5 * water.density * speed**2)
