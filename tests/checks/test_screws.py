"""Screws and threads. Thread numbers: ISO 261/262/724 and 898-1 (M3, M4, M5), ASME B1.1 (6-32), as printed in
docs.steelcam.org's table and the usual drill charts; screw lengths vary by js15 of ISO 4759-1 (from memory)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.checks.screw_threads import THREADS, length_tolerance, thread_left
from builds.checks.screws import check, check_threads, reach

from .trade import build, cautions, missing, notes, part, step, stops

RADIATOR = {"fan_thread": "M3", "screw_depth": 6.5, "screw_wall": 1.5}


def held(length=30.0, thread="M3", radiator=RADIATOR, fan=25.0, through="fan", **how):
    lines = [
        part("radiator", **radiator), part("fan", quantity=3, thickness=fan, flange=4.0),
        part("consumable", "the screws", role="screws", screw_thread=thread, screw_length=length),
        part("case", panel_thickness=1.0),
    ]  # fmt: skip
    at = step("radiator", fans="fan", fan_count=3, screws="screws", screw_through=through, **how)
    return build(*lines, steps=[at])


@pytest.mark.parametrize(
    ("name", "pitch_diameter", "minor", "area"),
    [("M3", 2.675, 2.459, 5.03), ("M4", 3.545, 3.242, 8.78), ("M5", 4.480, 4.134, 14.2), ("6-32", 2.990, 2.646, 5.86)],
)  # 0.00909 in² = 5.86 mm²
def test_thread_numbers_are_the_standards(name, pitch_diameter, minor, area):
    thread = THREADS[name]
    assert thread.pitch_diameter == pytest.approx(pitch_diameter, abs=0.002)
    assert thread.minor == pytest.approx(minor, abs=0.002)
    assert thread.stress_area == pytest.approx(area, rel=0.005)


def test_tap_drills_are_the_charts():
    assert [THREADS[name].tap_drill for name in ("M3", "M4", "M5", "6-32")] == [2.5, 3.3, 4.2, 2.705]


def test_a_30_mm_screw_through_a_25_mm_fan_passes():
    assert check(held()) == []
    assert check_threads(held()) == []


def test_a_35_mm_screw_goes_into_the_channel():
    found = check(held(length=35.0))
    assert "reach up to 9.6 mm beyond the inner wall of the radiator; 5.5 mm are safe" in stops(found)[0]
    assert "dead radiator" in found[0].action


def test_a_plate_under_the_holes_makes_it_a_caution():
    found = check(held(length=35.0, radiator={**RADIATOR, "screw_plate": 1.0}))
    assert (len(cautions(found)), stops(found)) == (1, [])


def test_panel_grille_and_washers_count():
    assert stops(check(held(length=35.0, through="fan and panel")))
    assert not stops(check(held(length=35.0, through="fan and panel", screw_extra_mm=3.5)))
    assert stops(check(held(length=35.0, gasket_mm=2.0)))
    assert not stops(check(held(length=35.0, gasket_mm=5.0)))
    assert stops(check(held(through="flange"))), "the whole length is inside when it passes a flange alone"


def test_a_short_screw_holds_by_too_few_threads():
    assert "threads at worst; at least 3" in cautions(check(held(length=27.0)))[0]
    assert "may not reach" in stops(check(held(length=25.0)))[0]


@pytest.mark.parametrize(("screw", "hole"), [("M3", "6-32"), ("M4", "M3"), ("6-32", "M4"), ("M3", "M4")])
def test_threads_are_never_mixed(screw, hole):
    found = check_threads(held(thread=screw, radiator={**RADIATOR, "fan_thread": hole}))
    assert f"the screws are {screw}; the fan holes of the radiator are {hole}" in stops(found)[0]


def test_re_tapping_to_m4():
    assert thread_left(THREADS["6-32"], THREADS["M4"]) == pytest.approx(0.65, abs=0.005)
    assert thread_left(THREADS["M3"], THREADS["M4"]) == 1.0
    good = check_threads(held(thread="M4", radiator={**RADIATOR, "fan_thread": "6-32"}, retapped=True))
    assert "drill 3.3 mm, 65 % of the thread is left" in cautions(good)[0]
    assert not stops(good)
    assert "depth stop" in good[0].action
    shallow = check_threads(held(thread="M4", radiator={**RADIATOR, "screw_depth": 2.0}, retapped=True))
    assert "1.4 mm beyond the wall" in stops(shallow)[0], "the tap's lead counts"
    assert "cannot be re-tapped" in stops(check_threads(held(radiator={**RADIATOR, "fan_thread": "M5"},
                                                             thread="M4", retapped=True)))[0]  # fmt: skip


def test_what_is_not_known_is_asked_for():
    bare = build(part("radiator"), part("fan", quantity=3), steps=[step("radiator", fans="fan", fan_count=3)])
    assert missing(check(bare)) == {"the radiator": "screw_depth, screw_wall"}
    assert missing(check_threads(bare)) == {"the radiator": "fan_thread"}
    assert "not said which screws" in notes(check(bare))[0]
    blank = held(radiator={})
    unknown = [line if line.role != "screws" else part("consumable", role="screws") for line in blank.lines]
    found = check(type(blank)(lines=tuple(unknown), loops=blank.loops))
    assert missing(found)["the consumable"] == "screw_length"


@given(st.floats(20, 60), st.floats(0.1, 20))
def test_beyond_the_clear_depth_a_longer_screw_never_becomes_safer(length, longer):
    if stops(check(held(length=length))) and reach(length, {"fan": 25.0}, 1.5).engaged > 0:
        assert stops(check(held(length=length + longer)))


@given(st.floats(2, 100))
def test_the_worst_screw_is_longer_than_its_name(length):
    assert length_tolerance(length) > 0
    got = reach(length, {"fan": 25.0}, 1.5)
    assert got.deepest > length - 25.0 - 1.5
    assert got.engaged < length - 25.0
