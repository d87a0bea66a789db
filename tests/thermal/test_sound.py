"""Sound levels against OSHA's worked examples and the fan sound law."""

import numpy as np
import pytest

from tests.thermal.loops import loop, pump, radiator
from thermal.loop import solve
from thermal.sound import add_levels, level_at_speed, level_of_count


def test_unlike_sources():
    """OSHA Technical Manual, noise, appendix A: 85, 83 and 88 dB make 90.6 dB."""
    assert add_levels([85.0, 83.0, 88.0]) == pytest.approx(90.5945, abs=0.05)


@pytest.mark.parametrize(("difference", "added"), [(0, 3), (1, 3), (2, 2), (3, 2), (4, 1), (9, 1), (10, 0), (15, 0)])
def test_pairs_by_the_rule_table(difference, added):
    """OSHA, as above: what to add to the higher of two levels, good to 1 dB."""
    assert add_levels([70.0, 70.0 - difference]) == pytest.approx(70.0 + added, abs=1.0)


def test_like_sources():
    """OSHA, as above: two of 70 dB make 73.0; n of one level add 10·log10 n, four of them 6.02 dB."""
    assert add_levels([70.0, 70.0]) == pytest.approx(73.0, abs=0.02)
    assert level_of_count(70.0, 4) == pytest.approx(76.02, abs=0.02)
    assert level_of_count(30.0, 3) == pytest.approx(add_levels([30.0] * 3))


@pytest.mark.parametrize(("ratio", "change"), [(2.0, 15.05), (1200 / 800, 8.80), (7 / 12, -11.7), (9 / 12, -6.25)])
def test_speed(ratio, change):
    """Fan sound law 50·log10(N₂/N₁) (ASHRAE, AMCA; from memory)."""
    assert level_at_speed(0.0, ratio) == pytest.approx(change, abs=0.1)


def test_two_fans_at_three_quarters():
    """Two fans of 24 dB at 0.75: 20.8 dB (the same two laws together)."""
    assert level_of_count(level_at_speed(24.0, 0.75), 2) == pytest.approx(20.8, abs=0.05)


def test_a_loop_adds_fans_and_pumps():
    result = solve(loop(pump(sound_level=28.0, speed=0.8), radiator(fan_speed=0.75)))
    fans, pumps = 24.0 + 10 * np.log10(3) + 50 * np.log10(0.75), 28.0 + 50 * np.log10(0.8)
    assert result.sound_level == pytest.approx(add_levels([fans, pumps]))
    assert result.sound_unknown == ()


def test_what_declares_no_level_is_named_not_counted():
    result = solve(loop(pump(), radiator(), radiator("top", fans={"sound_level": None})))
    assert result.sound_level == pytest.approx(24.0 + 10 * np.log10(3))
    assert result.sound_unknown == ("top", "pump")
    assert solve(loop(pump(), radiator(fans={"sound_level": None}))).sound_level is None


def test_a_stopped_fan_is_silent():
    assert level_at_speed(24.0, 0.0) == -np.inf
    assert add_levels([24.0, -np.inf]) == pytest.approx(24.0)
