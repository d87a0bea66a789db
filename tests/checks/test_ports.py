"""Room at ports and bends: plain geometry."""

from math import pi

from hypothesis import given
from hypothesis import strategies as st

from builds.checks.facts import RunFacts
from builds.checks.ports import check, check_bends, shortest_run

from .trade import build, cautions, missing, part, step, stops


def beside(apart=24.0, wide=18.0):
    return build(
        part("radiator", port_spacing=apart), part("fitting", form="straight", diameter=wide, tube_outside=13.0)
    )


def test_ports_apart_enough_pass():
    assert check(beside()) == []
    assert check(build(part("radiator"))) == []


def test_fittings_that_touch_stop_and_no_room_for_a_tool_is_a_caution():
    assert "two of the fitting, 26 mm wide, do not go in" in stops(check(beside(wide=26.0)))[0]
    assert "no tool goes in" in cautions(check(beside(wide=23.0)))[0]


def test_what_is_not_known_is_asked_for():
    found = check(build(part("radiator"), part("fitting", form="straight")))
    assert missing(found) == {"the radiator": "port_spacing", "the fitting": "diameter"}
    assert missing(check_bends(bent(radius=None))) == {"the tube": "bend_radius"}


def bent(length=200.0, bends=2, radius=30.0):
    tube = part("tube", **({} if radius is None else {"bend_radius": radius}))
    run = RunFacts("pump", "radiator", length, bends)
    return build(tube, part("pump"), part("radiator"), steps=[step("pump"), step("radiator")], runs=(run,))


def test_two_bends_of_a_30_mm_radius_take_124_mm():
    assert shortest_run(2, 30.0) == 2 * 30.0 * pi / 2 + 30.0
    assert check_bends(bent()) == []
    assert "2 bends of the tube take 124 mm; the run has 100 mm" in stops(check_bends(bent(length=100.0)))[0]
    assert check_bends(bent(length=10.0, bends=0)) == []


@given(st.floats(10, 40), st.floats(8, 40))
def test_it_stops_exactly_when_they_touch(apart, wide):
    assert bool(stops(check(beside(apart, wide)))) == (apart < wide)
