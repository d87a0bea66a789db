"""Filling: tube volumes from the bore (8/10/12.7/13 mm: 50.27/78.54/126.68/132.73 mL/m, geometry); the rest is
common practice."""

import pytest

from builds.checks.filling import check_fill, check_take_off, tube_volume_ml, volume

from .trade import build, cautions, missing, part, step, stops


@pytest.mark.parametrize(("bore", "ml"), [(8, 50.27), (10, 78.54), (12.7, 126.68), (13, 132.73)])
def test_a_metre_of_tube_holds(bore, ml):
    assert tube_volume_ml(1000, bore) == pytest.approx(ml, abs=0.005)


def test_a_reservoir_right_before_the_pump_feeds_it():
    lines = [part("reservoir", top_inlet=1.0), part("pump"), part("radiator")]
    assert check_fill(build(*lines, steps=[step("reservoir"), step("pump"), step("radiator")])) == []
    wrong = check_fill(build(*lines, steps=[step("pump"), step("radiator"), step("reservoir")]))
    assert wrong == [], "a loop closes: its last part comes before its first"
    dry = check_fill(build(*lines, steps=[step("reservoir"), step("radiator"), step("pump")]))
    assert "does not follow a reservoir" in cautions(dry)[0]


def test_a_loop_without_pump_stops_and_without_reservoir_is_a_caution():
    assert stops(check_fill(build(part("radiator"), steps=[step("radiator")]))) == ["loop has no pump."]
    assert "no reservoir" in cautions(check_fill(build(part("pump"), steps=[step("pump")])))[0]
    assert check_fill(build(part("radiator"))) == []


def loop(tube=3.0, coolant=1.0, fittings=8.0):
    lines = [
        part("pump_reservoir", volume=250.0), part("radiator", volume=120.0), part("processor_block", volume=30.0),
        part("tube", bore=10.0, quantity=tube), part("coolant", quantity=coolant),
        part("fitting", form="straight", quantity=fittings),
    ]  # fmt: skip
    order = [step("pump_reservoir"), step("processor_block"), step("radiator")]
    return build(*lines, steps=order, tube_length_mm=2000.0)


def test_enough_of_everything_passes():
    assert check_take_off(loop()) == []
    assert volume(loop())[0] == pytest.approx(250 + 120 + 30 + 157.08, abs=0.01)


def test_too_little_of_each_is_said():
    assert "2.00 m of tube; the spec has 1.5 m" in cautions(check_take_off(loop(tube=1.5)))[0]
    assert "557 mL" in cautions(check_take_off(loop(coolant=0.6)))[0]
    assert "6 tube ends; with spares that is 8" in cautions(check_take_off(loop(fittings=6.0)))[0]


def test_an_unknown_volume_is_asked_for():
    found = check_take_off(build(part("pump"), part("coolant"), steps=[step("pump")]))
    assert missing(found) == {"the pump": "volume"}
    assert missing(check_fill(build(part("pump_reservoir"), steps=[step("pump_reservoir")]))) == {
        "the pump_reservoir": "top_inlet"
    }
