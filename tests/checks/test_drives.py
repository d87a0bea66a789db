"""Drives: 2.5-inch ones are 5 to 19 mm high (SFF-8201, from memory); counting is common practice."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.checks.drives import check

from .trade import build, cautions, missing, notes, part, step, stops

CASE = {"drives_25": 2.0, "drives_35": 2.0, "drive_height": 9.5}


def small(height=7.0, **more):
    return part("drive", form="2.5-inch", height=height, **more)


def test_drives_that_have_their_place_pass():
    assert check(build(part("case", **CASE), part("drive", form="M.2", quantity=3))) == []
    assert check(build(part("case", **CASE), small(quantity=2))) == []


def test_too_many_stop():
    bay = part("case", **{**CASE, "drives_35": 0.0})
    assert "1 drives of 3.5-inch for 0 places" in stops(check(build(bay, part("drive", form="3.5-inch"))))[0]


@pytest.mark.parametrize(("height", "fits"), [(7.0, True), (9.5, True), (15.0, False)])
def test_a_high_drive_stops_in_a_low_place(height, fits):
    assert bool(stops(check(build(part("case", **CASE), small(height))))) is not fits


def test_a_height_that_no_drive_has_is_a_caution():
    assert "no height that 2.5-inch drives come in" in cautions(check(build(part("case", **CASE), small(8.5))))[0]


def test_a_cage_that_comes_out_takes_its_places_with_it():
    case = part("case", cage_at="front", drives_35_left=0.0, **CASE)
    lines = [case, part("drive", form="3.5-inch"), part("radiator")]
    assert not stops(check(build(*lines, steps=[step("radiator", place="top")])))
    out = check(build(*lines, steps=[step("radiator", place="front")]))
    assert "left in the case once its cage is out" in stops(out)[0]


def test_bare_metal_wants_washers():
    assert "bare metal" in notes(check(build(part("case", drives_on_metal=1.0, **CASE), small())))[0]


def test_what_is_not_known_is_asked_for():
    assert missing(check(build(part("case"), part("drive")))) == {"the drive": "form"}
    asked = {dict(f.numbers)["missing"] for f in check(build(part("case"), part("drive", form="2.5-inch")))}
    assert asked == {"drives_25", "height", "drive_height"}


@given(st.integers(0, 6), st.integers(1, 8), st.integers(0, 4), st.sampled_from(["2.5-inch", "3.5-inch"]))
def test_more_drives_never_find_more_places(places, drives, more, form):
    case = part("case", drives_25=float(places), drives_35=float(places), drive_height=15.0)
    one, other = (stops(check(build(case, part("drive", form=form, height=7.0, quantity=n))))
                  for n in (drives, drives + more))  # fmt: skip
    assert len(one) <= len(other)
    assert bool(one) == (drives > places)


@given(st.floats(5, 19), st.floats(0, 5), st.floats(5, 19))
def test_a_higher_drive_never_fits_better(tall, more, free):
    case = part("case", **{**CASE, "drive_height": free})
    one, other = (stops(check(build(case, small(mm)))) for mm in (tall, tall + more))
    assert len(one) <= len(other)
