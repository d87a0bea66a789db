"""Judging an operating point: stops, cautions and notes with their numbers."""

import pytest

from tests.thermal.loops import LITRE_A_MINUTE, block, loop, pump, radiator
from thermal.faults import LoopFault
from thermal.judging import Limits, judge, judge_fault, thumb_band
from thermal.loop import solve
from thermal.remarks import CAUTION, NOTE, RULES, STOP


def keys(*components, limits=None, spread=None, **facts):
    return [remark.key for remark in judge(solve(loop(*components, **facts)), limits, spread)]


def test_a_sound_loop_has_only_notes():
    remarks = judge(solve(loop()))
    assert {remark.severity for remark in remarks} == {NOTE}
    assert remarks[0].sentence == "The coolant runs 5.3 K over the room: good (to 10 K)."


@pytest.mark.parametrize(("heat", "verdict"), [(200.0, "good"), (400.0, "fair"), (700.0, "warm")])
def test_mean_coolant_over_room(heat, verdict):
    assert verdict in keys(pump(), block(heat=heat, limit=150.0), radiator())


def test_warm_coolant_cautions_and_hot_coolant_stops():
    assert "coolant caution" in keys(pump(), block(heat=850.0, limit=150.0), radiator(), room_temperature=25.0)
    assert "coolant stop" in keys(pump(), block(heat=1250.0, limit=150.0), radiator(), room_temperature=25.0)


def test_the_softest_part_sets_the_ceiling():
    hot = (pump(), block(heat=500.0, limit=150.0), radiator())
    assert "coolant stop" not in keys(*hot)
    assert "coolant stop" in keys(*hot, limits=Limits(plastic_limit=45.0))
    remarks = judge(solve(loop(pump(limit=35.0), *hot[1:])))
    assert remarks[0].key == "coolant stop"
    assert "at most 35 °C (limit of pump)" in remarks[0].sentence


def test_stops_look_at_the_worse_side_and_cautions_at_the_point():
    spread = {"coolant.max": (28.0, 30.0, 56.0), "flow": (1e-5, 5e-5, 9e-5), "components.processor": (40, 50, 91)}
    assert keys(spread=spread)[:3] == ["coolant stop", "part stop", "flow stop"]
    assert STOP not in {RULES[key].severity for key in keys(spread={"coolant.max": (56.0, 30.0, 30.0)})}


def test_component_limits():
    hot = block(heat=200.0, limit=40.0)
    assert "part stop" in keys(pump(), hot, radiator())
    assert "part caution" in keys(pump(), block(heat=200.0, limit=50.0), radiator())
    assert "part unknown" in keys(pump(), block(limit=None), radiator())


def test_low_flow():
    weak = pump(max_flow=3 * LITRE_A_MINUTE, max_pressure=15e3)
    weaker = pump(max_flow=1.6 * LITRE_A_MINUTE, max_pressure=5e3)
    assert "flow caution" in keys(weak, block(), radiator())
    assert "flow stop" in keys(weaker, block(), radiator())


def test_a_pump_that_brakes():
    small = pump("small", max_flow=2 * LITRE_A_MINUTE, max_pressure=10e3)
    remarks = judge(solve(loop(pump("large"), small, block(), radiator())))
    assert [remark.about for remark in remarks if remark.key == "brake"] == ["small"]


def test_fans_that_stall_or_may_not_start():
    dense = radiator(core_depth=0.08, fins_per_inch=30.0)
    assert "stall" in keys(pump(), block(), dense)
    assert "start" in keys(pump(), block(), radiator(fan_speed=0.25))


def test_a_radiator_that_warms_its_own_case():
    inner = radiator("inner", draws_from="case", blows_to="case")
    remarks = judge(solve(loop(pump(), block(), radiator(), inner, case_air_flow=0.05)))
    assert [remark.about for remark in remarks if remark.key == "case to case"] == ["inner"]


@pytest.mark.parametrize(
    ("speed", "low", "high"),
    [(800, 55, 90), (1000, 75, 130), (1300, 75, 130), (1800, 110, 180), (2000, 110, 180), (900, 65, 110)],
)
def test_rule_of_thumb(speed, low, high):
    """Common practice: W per 10 K and 120 mm section."""
    one = radiator(sections=1, fans={"count": 1, "rated_speed": speed})
    assert thumb_band(one) == pytest.approx((low, high))
    wide = radiator(sections=2, section_size=0.14, fans={"count": 2, "rated_speed": speed})
    assert thumb_band(wide) == pytest.approx((2 * low * (14 / 12) ** 2, 2 * high * (14 / 12) ** 2))


@pytest.mark.parametrize("speed", [None, 500, 3000])
def test_no_rule_of_thumb_outside_its_speeds(speed):
    assert thumb_band(radiator(fans={"rated_speed": speed})) is None


def test_the_model_lies_within_the_trades_rule_of_thumb():
    """Usual fans and cores at 1200 rpm, common practice: 75 to 130 W per 10 K and section."""
    for depth, fins in ((0.018, 16.0), (0.03, 12.0), (0.045, 10.0)):
        fans = {"rated_speed": 1200.0, "free_flow": 0.028, "max_pressure": 15.0}
        assert "thumb within" in keys(pump(), block(), radiator(core_depth=depth, fins_per_inch=fins, fans=fans))


def test_a_loop_that_cannot_run_gives_stops():
    with pytest.raises(LoopFault) as refusal:
        loop(block("a"), block("a"))
    remarks = judge_fault(refusal.value)
    assert [remark.severity for remark in remarks] == [STOP] * 3
    assert remarks[1].sentence == "components: there is no pump; add one."


def test_an_answer_that_did_not_settle_is_a_stop():
    hot = loop(pump(), block(heat=3000.0), radiator(fan_speed=0.2, sections=1, fans={"count": 1}))
    assert "outside" in [remark.key for remark in judge(solve(hot, strict=False))]


def test_every_rule_says_what_to_do_and_where_it_comes_from():
    for key, rule in RULES.items():
        assert rule.severity in (STOP, CAUTION, NOTE), key
        assert rule.template.endswith((".", "{what}")), key
        assert rule.remedy.endswith("."), key
        assert rule.source, key
