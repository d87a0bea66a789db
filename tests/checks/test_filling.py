"""Filling: common practice throughout."""

from builds.checks.filling import check_fill

from .trade import build, cautions, missing, part, step, stops


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


def test_a_top_without_inlet_is_a_caution_and_an_unknown_one_asked_for():
    shut = part("pump_reservoir", top_inlet=0.0)
    assert "fills and bleeds slowly" in cautions(check_fill(build(shut, steps=[step("pump_reservoir")])))[0]
    assert missing(check_fill(build(part("pump_reservoir"), steps=[step("pump_reservoir")]))) == {
        "the pump_reservoir": "top_inlet"
    }
