"""The radiator: geometry by hand, heat against textbook exchangers and measured surfaces."""

import math

import numpy as np
import pytest

from tests.thermal.loops import radiator
from thermal.air import air_at
from thermal.coolant import Coolant
from thermal.ducts import laminar_nusselt, rectangle
from thermal.faults import LoopFault
from thermal.radiator import Radiator

AIR = air_at(25.0, 101325.0)
WATER = Coolant("water").properties(40.0)


def test_geometry_by_hand():
    """Three 120 mm sections, 20 mm deep, 16 fins an inch: worked with pencil from the definitions."""
    core = radiator().core
    pitch = 25.4e-3 / 16  # 1.5875 mm
    gap, cells = pitch - 0.05e-3, 0.0432 / (0.010 * pitch)
    assert core.face == pytest.approx(0.0432)
    assert core.open_part == pytest.approx(0.8 * gap / pitch)
    assert core.air_diameter == pytest.approx(2 * gap * 8e-3 / (gap + 8e-3))
    assert core.fin_area == pytest.approx(cells * 2 * 8e-3 * 20e-3)  # 0.871 m²
    assert core.fin_area == pytest.approx(0.8708, rel=1e-3)
    assert core.prime_area == pytest.approx(cells * 2 * gap * 20e-3)
    assert core.tube_flow_area == pytest.approx(12 / 2 * 19.6e-3 * 1.6e-3)
    assert core.tube_surface == pytest.approx(12 * 2 * (19.6e-3 + 1.6e-3) * 0.36)
    assert core.tube_length == pytest.approx(0.36)


def test_core_depth_comes_from_the_thickness_when_unknown():
    assert radiator(core_depth=None, thickness=0.030).depth == pytest.approx(0.018)
    assert radiator(core_depth=0.025, thickness=0.030).depth == 0.025


# CoolProp properties at the inlets and the exact series (ht), plain water, air 25 °C, 300 W, UA 30 W/K
@pytest.mark.parametrize(("litres_an_hour", "water_inlet"), [(200.0, 41.87), (60.0, 43.35)])
def test_water_temperature_of_a_known_exchanger(litres_an_hour, water_inlet):
    air_capacity = 1.18432 * 1006.31 * 50 * 1.6990108 / 3600
    water = Coolant("water").properties(water_inlet)
    water_capacity = water.density * water.heat_capacity * litres_an_hour / 3.6e6
    conductance = Radiator.conductance(30.0, air_capacity, water_capacity)
    assert 25.0 + 300.0 / conductance == pytest.approx(water_inlet, abs=0.15)


def test_a_textbook_exchanger():
    """S. K. Som, Introduction to Heat Transfer, ch. 10, example 7: 1.006 MW, air out at 25.4 °C."""
    heat = Radiator.conductance(220.0 * 250.0, 10.0 * 1010.0, 7.0 * 4180.0) * (125.0 - 20.0)
    assert heat == pytest.approx(1.006e6, rel=0.01)
    assert 125.0 - heat / 10100.0 == pytest.approx(25.40, abs=0.6)


def test_another_textbook_exchanger():
    """Incropera, example 11.4 (from memory): exact ε 0.8358 at C_r 0.3574 and NTU 2.667."""
    assert Radiator.conductance(2.667, 0.3574 / 0.3574, 1 / 0.3574) == pytest.approx(0.8358, rel=0.03)


def test_the_smaller_capacity_may_be_on_either_side():
    assert Radiator.conductance(30.0, 20.0, 100.0) == Radiator.conductance(30.0, 100.0, 20.0)


def test_no_air_carries_no_heat():
    assert Radiator.conductance(0.0, 0.0, 200.0) == 0.0
    still = radiator(fan_speed=0.0).breeze(AIR)
    assert still.flow == 0.0
    assert np.isfinite(radiator(fan_speed=0.0).air_conductance(still.flow, AIR))


# W. M. Kays, A. L. London, Compact Heat Exchangers, 3rd ed., fig. 10-55 (offset strips, D_h 2.383 mm), Re 400,
# air at 30 °C: 97.9 W/m²K from the measured j 0.0246
def test_plain_cells_stay_below_measured_offset_strips():
    """Order of magnitude: strips break the layer anew, so plain cells of the same size give 0.3 to 0.9 of them."""
    air = air_at(30.0, 101325.0)
    prandtl = air.viscosity * air.heat_capacity / air.conductivity
    width, height = 1.526e-3 - 0.1016e-3, 6.248e-3 - 0.1016e-3
    diameter = 2 * width * height / (width + height)
    for depth in (0.02, 0.06):
        nusselt = laminar_nusselt(400 * prandtl * diameter / depth, prandtl, *rectangle(width / height))
        assert 0.3 < nusselt * air.conductivity / diameter / 97.9 < 0.9


def test_more_of_everything_moves_heat_as_it_should():
    flow = radiator().breeze(AIR).flow
    assert radiator(core_depth=0.04).air_conductance(flow, AIR) > radiator().air_conductance(flow, AIR)
    assert radiator(fin_conductivity=110.0).air_conductance(flow, AIR) < radiator().air_conductance(flow, AIR)
    assert radiator(grille_loss=1.5).breeze(AIR).flow < flow
    assert radiator(fins_per_inch=24.0).breeze(AIR).flow < flow
    assert radiator().water_conductance(2e-4, WATER) > radiator().water_conductance(1e-4, WATER)


def test_a_stopped_fan_takes_its_section_away():
    whole, lame = radiator(), radiator(stopped=1)
    two = radiator(sections=2, fans={"count": 2})
    assert lame.core == pytest.approx(two.core)
    assert lame.breeze(AIR).flow == pytest.approx(two.breeze(AIR).flow)
    assert lame.breeze(AIR).flow == pytest.approx(whole.breeze(AIR).flow * 2 / 3)
    assert radiator(stopped=3).breeze(AIR).flow == 0.0


def test_arrays_give_what_floats_give():
    speeds = np.array([[0.4], [1.0]])
    breeze = radiator(fan_speed=speeds).breeze(AIR)
    assert breeze.flow.shape == (2, 1)
    for row, speed in enumerate((0.4, 1.0)):
        assert breeze.flow[row, 0] == pytest.approx(radiator(fan_speed=speed).breeze(AIR).flow, rel=1e-9)


@pytest.mark.parametrize(
    ("facts", "field", "word"),
    [
        ({"core_depth": None}, "front.core_depth", "is missing"),
        ({"core_depth": None, "thickness": 0.012}, "front.core_depth", "above 16 mm"),
        ({"core_depth": -0.02}, "front.core_depth", "too low"),
        ({"core_depth": 0.004, "tube_wall": 0.002}, "front.core_depth", "no room"),
        ({"tube_wall": 0.001}, "front.tube_thickness", "no room"),
        ({"fins_per_inch": 60.0, "fin_thickness": 4.9e-4}, "front.fins_per_inch", "no gap"),
        ({"sections": 0}, "front.sections", "at least 1"),
        ({"sections": 2.5}, "front.sections", "whole"),
        ({"layers": 2}, "front.fans.count", "cannot be shared"),
        ({"stopped": 4}, "front.stopped", "more than the 3"),
        ({"draws_from": "attic"}, "front.draws_from", "room, case"),
        ({"section_size": math.nan}, "front.section_size", "not a number"),
        ({"fan_speed": np.array([0.5, math.inf])}, "front.fan_speed", "not a number"),
    ],
)
def test_a_radiator_that_cannot_be_is_refused(facts, field, word):
    with pytest.raises(LoopFault, match=word) as refusal:
        radiator(**facts)
    assert refusal.value.field == field


def test_a_radiator_without_fans_is_refused():
    with pytest.raises(LoopFault, match="fans: are missing"):
        Radiator(name="front", sections=3, core_depth=0.02, fins_per_inch=16.0)
