"""Air and coolant against the reference property library CoolProp and formal tables."""

import csv

import numpy as np
import pytest

from tests.thermal.make_coolant_table import COLUMNS, FRACTIONS, TABLE, TEMPERATURES, state
from thermal.air import air_at, density, pressure_at
from thermal.coolant import Coolant
from thermal.faults import LoopFault

# IAPWS-95 with its transport releases (R12-08, R15-11), at 101 325 Pa: °C, kg/m³, J/kgK, mPa·s, W/mK
WATER = [
    (20, 998.207, 4184.05, 1.0016, 0.59801),
    (25, 997.048, 4181.31, 0.8900, 0.60652),
    (30, 995.649, 4179.82, 0.7972, 0.61439),
    (40, 992.216, 4179.41, 0.6527, 0.62849),
    (50, 988.035, 4181.34, 0.5465, 0.64062),
]
# Melinder 2010 (IIR), Properties of Secondary Working Fluids, mass fractions, as CoolProp gives them
GLYCOL = [
    ("ethylene glycol", 0.30, 20, 1038.05, 3718.3, 2.1664, 0.46490),
    ("ethylene glycol", 0.30, 30, 1033.70, 3747.2, 1.6389, 0.47408),
    ("ethylene glycol", 0.30, 50, 1023.38, 3802.6, 1.0409, 0.49174),
    ("ethylene glycol", 0.50, 40, 1053.44, 3412.7, 2.1033, 0.40154),
    ("ethylene glycol", 0.20, 30, 1020.58, 3914.4, 1.2759, 0.51864),
    ("propylene glycol", 0.30, 20, 1023.79, 3857.0, 2.9650, 0.44443),
    ("propylene glycol", 0.30, 40, 1013.43, 3910.4, 1.5731, 0.46056),
    ("propylene glycol", 0.50, 20, 1039.06, 3530.2, 6.3936, 0.35946),
    ("propylene glycol", 0.20, 30, 1010.92, 3997.8, 1.5078, 0.50239),
]
# CoolProp 'Air' (Lemmon 2000; Lemmon & Jacobsen 2004), 101 325 Pa: °C, kg/m³, J/kgK, 1e-6 Pa·s, 1e-3 W/mK
AIR = [
    (20, 1.20458, 1006.14, 18.206, 25.874),
    (25, 1.18432, 1006.31, 18.448, 26.247),
    (30, 1.16473, 1006.49, 18.689, 26.618),
    (40, 1.12745, 1006.92, 19.165, 27.354),
]


@pytest.mark.parametrize(("temperature", "rho", "cp", "mu", "k"), WATER)
def test_water_against_the_formal_tables(temperature, rho, cp, mu, k):
    water = Coolant("water").properties(float(temperature))
    assert water.density == pytest.approx(rho, rel=0.0005)
    assert water.heat_capacity == pytest.approx(cp, rel=0.002)
    assert water.viscosity == pytest.approx(mu / 1000, rel=0.01)
    assert water.conductivity == pytest.approx(k, rel=0.01)


@pytest.mark.parametrize(("fluid", "fraction", "temperature", "rho", "cp", "mu", "k"), GLYCOL)
def test_glycol_against_published_figures(fluid, fraction, temperature, rho, cp, mu, k):
    mixture = Coolant(fluid, fraction).properties(float(temperature))
    assert mixture.density == pytest.approx(rho, rel=0.005)
    assert mixture.heat_capacity == pytest.approx(cp, rel=0.005)
    assert mixture.viscosity == pytest.approx(mu / 1000, rel=0.02)
    assert mixture.conductivity == pytest.approx(k, rel=0.005)


@pytest.mark.parametrize("fluid", ["water", "ethylene glycol", "propylene glycol"])
def test_the_table_holds_between_its_points(fluid):
    """Within 0.5 % of CoolProp, viscosity 2 %, at 300 random states that are not points of the table."""
    rng = np.random.default_rng(7)
    for temperature in rng.uniform(5.0, 90.0, 300):
        fraction = 0.0 if fluid == "water" else rng.uniform(0.0, 0.5)
        ours, theirs = Coolant(fluid, fraction).properties(temperature), state(fluid, fraction, temperature)
        assert np.allclose(ours, theirs, rtol=[0.005, 0.005, 0.02, 0.005], atol=0.0)


def test_the_committed_table_is_what_its_script_makes():
    with TABLE.open(newline="") as file:
        header, *rows = csv.reader(file)
    assert header == COLUMNS
    assert len(rows) == len(TEMPERATURES) * (1 + 2 * len(FRACTIONS))
    for row in rows[::29]:
        expected = [float(f"{value:.6g}") for value in state(row[0], float(row[1]), float(row[2]))]
        assert [float(value) for value in row[3:]] == pytest.approx(expected, rel=1e-5)


def test_the_table_holds_its_end_values_beyond_its_ends():
    water = Coolant("water")
    assert water.properties(120.0).density == water.properties(90.0).density
    assert water.properties(-5.0).viscosity == water.properties(5.0).viscosity


@pytest.mark.parametrize(("fluid", "fraction", "word"), [("alcohol", 0.1, "not one of"), ("water", 0.6, "too high")])
def test_a_coolant_outside_its_table_is_refused(fluid, fraction, word):
    with pytest.raises(LoopFault, match=word):
        Coolant(fluid, fraction)


def test_drop_ratio_is_one_for_water_and_more_for_glycol():
    water, mixture = Coolant("water"), Coolant("propylene glycol", 0.3)
    assert water.drop_ratio(30.0, water.properties(30.0)) == 1.0
    # (1018.89/995.649)^0.75·(2.1041/0.7972)^0.25, from the tables above
    assert mixture.drop_ratio(30.0, mixture.properties(30.0)) == pytest.approx(1.2968, rel=0.002)


@pytest.mark.parametrize(("temperature", "rho", "cp", "mu", "k"), AIR)
def test_air_against_the_reference_library(temperature, rho, cp, mu, k):
    air = air_at(float(temperature), 101325.0)
    assert air.density == pytest.approx(rho, rel=0.005)
    assert air.heat_capacity == pytest.approx(cp, rel=0.005)
    assert air.viscosity == pytest.approx(mu * 1e-6, rel=0.015)
    assert air.conductivity == pytest.approx(k * 1e-3, rel=0.015)


def test_altitude_thins_the_air():
    """ISO 2533: 89 874.6 Pa at 1000 m, 79 495.2 Pa at 2000 m (from memory)."""
    assert pressure_at(0.0) == 101325.0
    assert pressure_at(1000.0) == pytest.approx(89874.6, rel=1e-4)
    assert pressure_at(2000.0) == pytest.approx(79495.2, rel=1e-4)
    assert density(20.0, pressure_at(2000.0)) == pytest.approx(0.9447, rel=0.001)
