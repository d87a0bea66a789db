"""Burn thresholds of bare metal: 51 °C for 1 min, 48 °C for 10 min (ISO 13732-1, read at certifico.com); about 65 °C
for 1 s, from memory."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.checks import touch
from builds.checks.facts import LoopFacts
from builds.checks.touch import LONG_C, MINUTE_C, check

from .trade import build, cautions, missing, notes, part, step, stops

PARTS = [part("radiator", wetted_metals="copper"), part("pump", wetted_metals="none")]


@pytest.fixture
def at(monkeypatch):
    """Findings of a loop whose coolant comes to so many degrees."""

    def warm(celsius, lines=PARTS, reckoned=True):
        monkeypatch.setattr(touch, "warmest", lambda build, loop: (celsius, reckoned))
        return check(build(*lines, steps=[step("pump"), step("radiator")]))

    return warm


def test_thresholds_are_the_standards():
    assert (LONG_C, MINUTE_C) == (48.0, 51.0)


@pytest.mark.parametrize(("celsius", "says"), [(49, "held for ten minutes it burns"), (55, "burns within a minute")])
def test_hot_metal_is_a_caution(at, celsius, says):
    assert says in cautions(at(celsius))[0]


def test_cool_metal_passes_and_plastic_is_not_metal(at):
    assert at(48.0) == []
    plastic = [part("radiator", wetted_metals="none"), part("pump", wetted_metals="none")]
    assert at(70.0, plastic) == []


def test_metal_that_burns_at_once_stops(at):
    assert "burns at a touch: the radiator" in stops(at(66.0))[0]


def test_what_is_not_known_is_said(at):
    assert missing(at(40.0, [part("radiator"), PARTS[1]])) == {"the radiator": "wetted_metals"}
    assert "warmth of “loop” is not known" in notes(at(60.0, reckoned=False))[0]


@given(st.floats(20, 95), st.floats(0, 40))
def test_warmer_never_becomes_safer(celsius, warmer):
    found = [touch._hot(LoopFacts(), at, PARTS[:1]) if at > LONG_C else [] for at in (celsius, celsius + warmer)]
    weight = [len(one) + 2 * len(stops(one)) for one in found]
    assert weight == sorted(weight)
