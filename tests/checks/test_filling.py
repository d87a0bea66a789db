"""Filling: common practice throughout."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.checks.filling import check_fill

from .trade import build, cautions, missing, notes, part, step, stops

ROLES = ["reservoir", "pump", "radiator", "processor_block"]
TOLD = {"highest": "reservoir", "lowest": "radiator", "drained_at": "radiator"}


def loop(order=ROLES, **told):
    lines = [part(role, **({"top_inlet": 1.0} if role == "reservoir" else {})) for role in order]
    return build(*lines, steps=[step(role) for role in order], **{**TOLD, **told})


def test_a_reservoir_right_before_the_pump_feeds_it():
    assert check_fill(loop()) == []
    assert check_fill(loop([*ROLES[1:], ROLES[0]])) == [], "a loop closes: its last part comes before its first"
    dry = check_fill(loop(["reservoir", "radiator", "pump", "processor_block"]))
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


def test_air_stays_at_a_point_above_the_filling_one():
    found = check_fill(loop(highest="radiator"))
    assert cautions(found) == [
        "“loop” is filled at the reservoir, but the radiator is its highest point: air stays there."
    ]
    assert check_fill(loop(highest="radiator", filled_at="radiator")) == [], "a port at the top of the radiator does"


def test_a_pump_above_its_reservoir_stops():
    assert "no reservoir feeds it by gravity" in stops(check_fill(loop(highest="pump")))[0]


def test_coolant_stays_below_the_drain():
    found = check_fill(loop(drained_at="pump"))
    assert cautions(found) == ["“loop” is drained at the pump, but the radiator lies lower and stays full."]


def test_points_that_nobody_told_are_asked_for():
    for untold, asked in (("highest", "highest point"), ("lowest", "lowest point"), ("drained_at", "drained")):
        assert asked in notes(check_fill(loop(**{untold: ""})))[0]
    two = loop(["reservoir", "pump", "pump_reservoir", "radiator"])
    assert "at which it is filled" in notes(check_fill(two))[0], "of two reservoirs, which?"


def test_a_loop_without_reservoir_is_filled_through_its_port():
    facts = loop(["pump", "radiator"], highest="radiator", filled_at="radiator")
    assert not notes(check_fill(facts))
    assert cautions(check_fill(facts)) == ["loop has no reservoir: it is hard to fill and to bleed."]


@pytest.mark.parametrize("names", [("highest", "filled_at"), ("lowest", "drained_at")])
@given(one=st.sampled_from(["", *ROLES]), other=st.sampled_from(["", *ROLES]))
def test_it_passes_only_where_both_points_are_told_and_are_one(names, one, other):
    found = check_fill(loop(**dict(zip(names, (one, other), strict=True))))
    filled = other or ("reservoir" if names[0] == "highest" else "")
    sound = bool(one) and one == filled and not (names[0] == "highest" and one == "pump")
    assert (found == []) == sound
