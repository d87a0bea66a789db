"""Air around what no block cools; a pump that says when it stands still. Common practice."""

from hypothesis import given
from hypothesis import strategies as st

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


@given(st.integers(3, 20), st.integers(0, 10), st.sampled_from(["room", "case"]))
def test_more_fans_never_leave_the_air_stiller(quantity, more, blows_to):
    one, other = (check(machine(quantity=n, blows_to=blows_to)) for n in (quantity, quantity + more))
    assert len(other) <= len(one)
