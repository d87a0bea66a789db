"""A closed loop: 0.8 L of 30 % propylene glycol from 20 to 60 °C into 50 mL of air, about 0.95 bar (ideal gas with
water vapour; densities of CoolProp's INCOMP::MPG after Melinder 2010). Vapour pressure of water: 2.339 and 19.946 kPa
at 20 and 60 °C (IAPWS-95)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.checks.sealed import check, hot_pressure, vapour_pressure

from .trade import build, cautions, missing, notes, part, step, stops


@pytest.mark.parametrize(("celsius", "pascal"), [(20, 2339), (60, 19946)])
def test_vapour_over_water(celsius, pascal):
    assert vapour_pressure(celsius) == pytest.approx(pascal, rel=0.01)


def test_the_worked_example():
    assert hot_pressure(800, 50, 60, "propylene glycol", 0.3) == pytest.approx(0.95, abs=0.03)


def test_pressure_against_the_reference_library():
    """The same balance with CoolProp's densities and saturation pressure in place of ours."""
    props = pytest.importorskip("CoolProp.CoolProp").PropsSI
    cold, hot = (props("D", "T", t + 273.15, "P", 1e5, "Water") for t in (20, 60))
    dry, wet = (props("P", "T", t + 273.15, "Q", 0, "Water") for t in (20, 60))
    left = 50 - 800 * (cold / hot - 1)
    expected = ((101325 - dry) * 50 / left * 333.15 / 293.15 + wet - 101325) / 1e5
    assert hot_pressure(800, 50, 60) == pytest.approx(expected, rel=0.01)


def test_no_warming_no_pressure_and_no_air_bursts():
    assert hot_pressure(800, 50, 20) == pytest.approx(0.0, abs=1e-9)
    assert hot_pressure(800, 10, 60) is None


def closed(air=150.0, limit=1.0, **how):
    lines = [part("pump_reservoir", volume=600.0, max_pressure=limit), part("radiator", volume=200.0, max_pressure=2.0),
             part("coolant", fluid="propylene glycol", mass_fraction=0.3)]  # fmt: skip
    return build(*lines, steps=[step("pump_reservoir"), step("radiator")], air_ml=air, **how)


def test_air_enough_passes_and_a_breather_always():
    assert check(closed(air=150.0)) == []
    assert check(closed(air=1.0, breather=True)) == []


def test_too_little_air_is_a_caution_then_a_stop():
    assert "less than 15 %" in cautions(check(closed(air=100.0)))[0]
    assert "the pump_reservoir bears 0.5 bar" in stops(check(closed(air=50.0, limit=0.5)))[0]
    assert "something bursts" in stops(check(closed(air=10.0)))[0]


def test_what_is_not_known_is_asked_for():
    assert "how much air" in notes(check(closed(air=None)))[0]
    bare = build(part("pump"), part("coolant"), steps=[step("pump")], air_ml=100.0)
    assert missing(check(bare)) == {"the pump": "volume"}
    known = build(part("pump", volume=100.0), part("coolant"), steps=[step("pump")], air_ml=100.0)
    assert missing(check(known)) == {"the coolant": "fluid", "the pump": "max_pressure"}
    glycol = build(part("pump", volume=100.0, max_pressure=1.0), part("coolant", fluid="ethylene glycol"),
                   steps=[step("pump")], air_ml=100.0)  # fmt: skip
    assert missing(check(glycol)) == {"the coolant": "mass_fraction"}


@given(st.floats(40, 300), st.floats(1, 200), st.floats(21, 80))
def test_more_air_never_raises_the_pressure(air, more, hot):
    few, many = hot_pressure(800, air, hot), hot_pressure(800, air + more, hot)
    assert many is not None or few is None
    if few is not None:
        assert many <= few + 1e-9
