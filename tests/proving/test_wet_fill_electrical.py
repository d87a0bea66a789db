"""Wet test, fill and bleed, electrical sign-off. Their limits are common practice."""

import pytest

from builds.proving import electrical, fill, wettest
from builds.proving.judgement import FAILED, OPEN, PASSED, Limits, Machine

LIMITS = Limits()
LOOP = Machine(volume_l=1.2)


def wet(**changed):
    return wettest.judge({"hours": 24.0, "drops": 0, "pump_alone": 1, "paper": 1, **changed}, LOOP, LIMITS)


def filled(machine=LOOP, **changed):
    return fill.judge({"volume_in": 1.2, "hours": 24.0, "top_up": 0.0, **changed}, machine, LIMITS)


def signed(**changed):
    all_good = {name: electrical.GOOD for name, _label, _by_rules in electrical.ITEMS}
    return electrical.judge({**all_good, **changed}, LOOP, LIMITS)


def test_a_dry_day_passes():
    assert wet().outcome == PASSED


def test_one_drop_fails_at_any_hour():
    said = wet(drops=1, hours=2.0)
    assert said.outcome == FAILED
    assert said.causes


@pytest.mark.parametrize("changed", [{"hours": 20.0}, {"pump_alone": 0}, {"paper": 0}])
def test_a_test_that_could_not_have_shown_a_drop_is_not_judged(changed):
    assert wet(**changed).outcome == OPEN


def test_a_full_loop_whose_level_stands_passes():
    assert filled().outcome == PASSED


def test_too_little_in_means_air():
    said = filled(volume_in=0.9)
    assert said.outcome == FAILED
    assert "air" in said.reasons[0]


def test_more_than_it_can_hold_is_not_judged():
    assert filled(volume_in=1.6).outcome == OPEN


def test_a_level_that_falls_fails():
    assert filled(top_up=120.0).outcome == FAILED


def test_the_level_is_read_after_a_day():
    assert filled(hours=2.0).outcome == OPEN


def test_a_volume_that_nobody_knows_is_a_finding_that_wants_a_word():
    said = filled(Machine(volume_l=0.4, without_volume=("radiator",)), volume_in=0.9)
    assert said.outcome == PASSED
    assert "not judged: no volume is known for radiator" in said.findings[0]
    assert not filled().findings


def test_every_line_signed_passes():
    assert signed().outcome == PASSED


def test_what_local_rules_do_not_ask_for_is_no_gap():
    assert signed(earth=electrical.NOT_DUE, insulation=electrical.NOT_DUE).outcome == PASSED


def test_one_line_missing_is_not_judged_and_named():
    said = signed(continuity=None)
    assert said.outcome == OPEN
    assert "every wire" in said.reasons[0]


def test_one_line_bad_fails():
    assert signed(shorts=electrical.BAD).outcome == FAILED
