"""Air around what no block cools; a pump that says when it stands still. Common practice."""

from builds.checks.air import check

from .trade import build, cautions, missing, part, step

PUMP = part("pump", speed_signal=1.0)


def machine(quantity=3, blows_to="room", pump=PUMP):
    lines = [part("board"), part("memory"), part("radiator"), part("fan", quantity=quantity), pump]
    at = step("radiator", fans="fan", fan_count=3, draws_from="room", blows_to=blows_to)
    return build(*lines, steps=[step("pump"), at])


def test_a_fan_to_spare_or_a_radiator_into_the_case_passes():
    assert check(machine(quantity=4)) == []
    assert check(machine(blows_to="case")) == []


def test_still_air_is_a_caution():
    assert "No fan moves air inside the case" in cautions(check(machine()))[0]


def test_a_pump_without_a_speed_signal_is_a_caution():
    silent = check(machine(blows_to="case", pump=part("pump", speed_signal=0.0)))
    assert "tells nobody" in cautions(silent)[0]
    assert missing(check(machine(blows_to="case", pump=part("pump")))) == {"the pump": "speed_signal"}
