"""Radiator and fans in their place: plain geometry, read from a rule."""

from hypothesis import given
from hypothesis import strategies as st

from builds.checks.stack import check

from .trade import build, cautions, missing, part, step, stops

CASE = {"front_depth": 60.0, "front_places": "3×120, 2×140", "top_places": "2×120", "top_depth": 40.0}
RADIATOR = {"sections": 3.0, "section_size": 120.0, "thickness": 30.0}


def front(case=CASE, radiator=RADIATOR, fan=25.0, place="front", **how):
    lines = [part("case", **case), part("radiator", **radiator), part("fan", quantity=6, size=120.0, thickness=fan)]
    at = step("radiator", fans="fan", fan_count=how.pop("fan_count", 3), place=place, **how)
    return build(*lines, steps=[at])


def test_a_stack_with_room_to_spare_passes():
    assert check(front()) == []


def test_a_stack_deeper_than_its_place_stops():
    found = check(front(radiator={**RADIATOR, "thickness": 45.0}))
    assert stops(found) == ["the radiator with the fan is 70 mm deep; the front place has 60 mm."]


def test_fans_on_both_sides_count_twice():
    assert "80 mm deep" in stops(check(front(layers=2, fan_count=6)))[0]


def test_gasket_and_grille_count():
    assert check(front(gasket_mm=2.0, radiator={**RADIATOR, "thickness": 28.0})) == []
    assert "61 mm deep" in stops(check(front(gasket_mm=6.0)))[0]


def test_a_near_touch_is_a_caution():
    found = check(front(radiator={**RADIATOR, "thickness": 33.0}))
    assert "2 mm left" in cautions(found)[0]
    assert not stops(found)


def test_a_stack_that_just_touches_is_still_only_near():
    assert not stops(check(front(radiator={**RADIATOR, "thickness": 35.0})))


def test_holes_of_140_find_no_place_for_three():
    found = check(front(radiator={**RADIATOR, "section_size": 140.0}))
    assert "3×140 mm; the front place of the case takes 3×120, 2×140" in stops(found)[0]


def test_brackets_exist_for_two_sizes_alone():
    def action(size):
        return next(f.action for f in check(front(radiator={**RADIATOR, "section_size": size})) if f.severity == "stop")

    assert "plan a bracket" in action(140.0)
    assert "brackets exist for 120 and 140 mm alone" in action(92.0)


def test_a_shorter_radiator_fits_a_longer_place():
    assert not stops(check(front(radiator={**RADIATOR, "sections": 2.0, "section_size": 140.0})))


def test_outside_the_case_there_is_room():
    assert check(front(place="outside", radiator={**RADIATOR, "thickness": 90.0})) == []


def test_what_is_not_known_is_asked_for():
    found = check(front(case={}, radiator={"sections": 3.0, "section_size": 120.0}))
    asked = [dict(f.numbers)["missing"] for f in found]
    assert asked == ["front_places", "thickness", "front_depth"]
    assert missing(check(front(fan=25.0, case={**CASE, "front_depth": 60.0}))) == {}


def test_two_radiators_in_one_place_are_pointed_out():
    lines = [part("case", **CASE), part("radiator", **RADIATOR), part("radiator", role="second", **RADIATOR)]
    found = check(build(*lines, steps=[step("radiator", place="front"), step("second", place="front")]))
    assert "share the front place" in " ".join(cautions(found))


def test_a_radiator_without_a_place_is_told_where_it_fits():
    found = check(build(part("case", **CASE), part("radiator", **RADIATOR)))
    assert "fits front" in cautions(found)[0]
    thick = check(build(part("case", **CASE), part("radiator", **{**RADIATOR, "thickness": 65.0})))
    assert "fits no place" in stops(thick)[0]
    assert missing(check(build(part("case"), part("radiator", **RADIATOR))))
    assert "no case" in cautions(check(build(part("radiator", **RADIATOR))))[0]


@given(st.floats(15, 80), st.floats(15, 38), st.floats(20, 150))
def test_it_stops_exactly_when_it_is_too_deep(thickness, fan, free):
    found = check(front(case={**CASE, "front_depth": free}, radiator={**RADIATOR, "thickness": thickness}, fan=fan))
    assert bool(stops(found)) == (thickness + fan > free)
