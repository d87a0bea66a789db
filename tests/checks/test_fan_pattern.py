"""Hole spacing of square fans, de facto: 80→71.5, 92→82.5, 120→105, 140→124.5 mm (open CAD tables: NopSCADlib fans,
sugarkube fan_patterns); above 140 mm sources differ, so it asks."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.checks.fan_pattern import check
from builds.checks.places import patterns, spacing, takes

from .trade import build, cautions, missing, notes, part, step, stops


def loop(section=120.0, size=120.0, sections=3.0, quantity=3, **how):
    lines = [part("radiator", sections=sections, section_size=section), part("fan", quantity=quantity, size=size)]
    return build(*lines, steps=[step("radiator", fans="fan", fan_count=how.pop("fan_count", 3), **how)])


@pytest.mark.parametrize(("frame", "holes"), [(40, 32), (80, 71.5), (92, 82.5), (120, 105), (140, 124.5)])
def test_spacing_is_the_de_facto_one(frame, holes):
    assert spacing(frame) == pytest.approx(holes, abs=0.5)


def test_fans_of_the_radiators_size_pass():
    assert check(loop()) == []


def test_fans_of_another_size_stop():
    assert "holes 124.5 mm apart, the radiator 105 mm" in stops(check(loop(size=140.0)))[0]


@pytest.mark.parametrize("size", [180.0, 200.0])
def test_large_fans_ask_for_a_measure(size):
    found = check(loop(section=size, size=size))
    assert "no standard" in cautions(found)[0]
    assert not stops(found)


def test_more_fans_than_places_stop_and_fewer_leave_a_note():
    assert "places for 3 fans" in stops(check(loop(fan_count=4, quantity=4)))[0]
    assert "2 fans in 3 places" in notes(check(loop(fan_count=2)))[0]
    assert check(loop(fan_count=6, layers=2, quantity=6)) == []


def test_fans_on_radiators_are_counted_against_the_spec():
    assert "want 6 × the fan; the spec has 3" in stops(check(loop(fan_count=6, layers=2)))[0]


def test_a_radiator_without_fans_is_a_caution():
    assert "no fans" in cautions(check(build(part("radiator"), steps=[step("radiator")])))[0]


def test_what_is_not_known_is_asked_for():
    lines = [part("radiator"), part("fan", quantity=3)]
    found = check(build(*lines, steps=[step("radiator", fans="fan", fan_count=3)]))
    assert {"section_size", "size", "sections"} == {dict(f.numbers)["missing"] for f in found}
    assert missing(found)["the fan"] == "size"


def test_a_cases_places_are_read_as_they_are_written():
    case = part("case", top_places="2 x 120 mm, 3×140, 200")
    assert patterns(case, "top") == {120: 2, 140: 3, 200: 1}
    assert takes({140: 3}, 3, 140.0)
    assert not takes({140: 3}, 4, 140.0)


SIZES = st.sampled_from([40.0, 60.0, 80.0, 92.0, 120.0, 140.0, 180.0, 200.0])


@given(SIZES, SIZES)
def test_only_equal_holes_pass(section, size):
    found = check(loop(section=section, size=size))
    known = None not in (spacing(section), spacing(size))
    assert (found == []) == (known and spacing(section) == spacing(size))
    assert bool(stops(found)) == (known and spacing(section) != spacing(size)), "what is no standard asks, never stops"


@given(st.integers(1, 9), st.integers(1, 20), st.integers(0, 5))
def test_more_fans_never_fit_better(sections, fans, more):
    one, other = (stops(check(loop(sections=float(sections), fan_count=n, quantity=40))) for n in (fans, fans + more))
    assert len(one) <= len(other)
    assert bool(one) == (fans > sections)
