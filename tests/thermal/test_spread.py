"""The range: the same every time, as wide as its sources say, and the fan speed that stays quiet."""

import json

import numpy as np
import pytest
from scipy import stats

from tests.thermal.loops import block, loop, pump, radiator
from thermal.document import read_loop, write_loop, write_result
from thermal.faults import LoopFault
from thermal.loop import Factors, solve
from thermal.prior import COMMON_SD, Prior, model_of
from thermal.quasi import normal_samples
from thermal.spread import figures, over_fan_speeds, spread


def test_samples_are_normal_even_and_always_the_same():
    """Kolmogorov–Smirnov distance from the normal, by scipy: no more than the steps of 2,048 points."""
    samples = normal_samples(2048, 12)
    assert samples is normal_samples(2048, 12)
    for column in samples.T:
        assert stats.kstest(column, "norm").statistic < 0.001
    assert np.corrcoef(samples.T) == pytest.approx(np.eye(12), abs=0.005)


def test_the_range_agrees_with_plain_chance():
    """200,000 independent draws (numpy) of the same factors: percentiles within a twentieth of the range."""
    one = loop(pump(), block(), block("graphics", heat=300.0), radiator())
    model = model_of(one)
    mean, covariance = model.mean_and_covariance(Prior())
    rng = np.random.default_rng(11)
    logs = rng.multivariate_normal(mean, covariance, 200_000)
    by_chance = figures(solve(one, model.factors(logs, rng.normal(0.0, 1.0, 200_000)), strict=False))
    ranges = spread(one).ranges
    for key in ("flow", "coolant.max", "components.processor", "over_room.graphics", "radiators.front.ua"):
        expected = np.quantile(np.broadcast_to(by_chance[key], (200_000,)), [0.1, 0.5, 0.9])
        assert ranges[key] == pytest.approx(expected, abs=0.05 * (expected[2] - expected[0]))


def test_same_loop_same_answer():
    assert spread(loop()).ranges == spread(loop()).ranges


def test_the_middle_lies_at_the_point():
    answer = spread(loop())
    low, middle, high = answer.ranges["coolant.mean"]
    assert middle == pytest.approx(float(answer.point.mean), abs=0.15)
    assert low < middle < high
    assert answer.unsettled == 0.0


def test_a_normal_factor_comes_out_as_wide_as_it_went_in():
    """ln of the air flow: common 10 % and job 11 %, so 14.9 % in all; 10–90 % of a normal is 2 × 1.2816 sd."""
    low, _, high = spread(loop()).ranges["radiators.front.air_flow"]
    assert np.log(high / low) / (2 * 1.2816) == pytest.approx(np.hypot(0.10, 0.11), rel=0.02)


def test_defaults_widen_the_range():
    declared = read_loop(write_loop(loop()))
    document = write_loop(loop())
    for part in document["components"]:
        part.pop("resistance", None)
        part.pop("core_depth", None)
        part.setdefault("thickness", "32 mm") if part["kind"] == "radiator" else None
    typical = read_loop(document)
    assert typical.radiators[0].depth == declared.radiators[0].depth

    def width(one, key):
        low, _, high = spread(one).ranges[key]
        return high - low

    assert width(typical, "components.processor") > 1.3 * width(declared, "components.processor")
    assert width(typical, "radiators.front.ua") > 1.2 * width(declared, "radiators.front.ua")
    model = model_of(typical)
    deviations = np.sqrt(np.diag(model.mean_and_covariance(Prior())[1]))
    sd = dict(zip(model.names, deviations, strict=True))
    assert sd["resistance", "processor"] == pytest.approx(np.hypot(0.25, 0.20))
    assert sd["air_side", ""] == pytest.approx(np.hypot(0.22, 0.10))


def test_blocks_of_one_family_share_what_is_common():
    one = loop(pump(), block("processor a"), block("processor b"), block("graphics"), radiator())
    model = model_of(one)
    _, covariance = model.mean_and_covariance(Prior())
    place = {name: i for i, name in enumerate(model.names)}
    a, b, c = (place["resistance", name] for name in ("processor a", "processor b", "graphics"))
    assert covariance[a, b] == pytest.approx(0.14**2)
    assert covariance[a, c] == 0.0
    assert covariance[a, a] == pytest.approx(2 * 0.14**2)


def test_a_prior_moves_and_narrows_the_range():
    learned = Prior.of([0.0, -0.2, 0.0, 0.0], np.diag(np.array(COMMON_SD) ** 2) * 0.01)
    before, after = spread(loop()).ranges["mean_over_room"], spread(loop(), learned).ranges["mean_over_room"]
    assert after[1] > before[1]
    assert (after[2] - after[0]) / after[1] < (before[2] - before[0]) / before[1]


def test_a_prior_keeps_in_a_document_and_refuses_nonsense():
    prior = Prior.of([0.1, 0.2, 0.3, 0.4], np.diag([0.01, 0.02, 0.03, 0.04]))
    assert Prior.from_document(json.loads(json.dumps(prior.document()))) == prior
    assert prior.deviations == pytest.approx(np.sqrt([0.01, 0.02, 0.03, 0.04]))
    with pytest.raises(ValueError, match="not negative"):
        Prior.of([0.0] * 4, np.diag([0.1, -0.1, 0.1, 0.1]))
    with pytest.raises(ValueError, match="four means"):
        Prior((0.0,) * 3)


def test_the_result_document_takes_the_range_and_its_prior():
    answer = spread(loop())
    written = json.loads(json.dumps(write_result(answer.point, answer), allow_nan=False))
    assert written["spread"]["coolant.mean"] == pytest.approx(answer.ranges["coolant.mean"])
    assert Prior.from_document(written["prior"]) == Prior()


def test_over_fan_speeds():
    sweep = over_fan_speeds(loop())
    assert len(sweep.speeds) == 12
    assert sweep.speeds[0] == pytest.approx(0.3)
    assert sweep.speeds[-1] == 1.0
    assert sweep.point.mean.shape == (12,)
    assert sweep.ranges["coolant.max"].shape == (12, 3)
    assert np.all(np.diff(sweep.ranges["coolant.max"], axis=0) < 0.0)
    assert np.all(np.diff(sweep.ranges["coolant.max"], axis=1) > 0.0)
    assert np.all(np.diff(sweep.point.sound_level) > 0.0)
    alone = solve(loop(pump(), block(), radiator(fan_speed=sweep.speeds[4])))
    assert sweep.point.mean[4] == pytest.approx(float(alone.mean), abs=1e-6)


def test_the_slowest_quiet_speed_keeps_the_limit_on_the_worse_side():
    sweep = over_fan_speeds(loop())
    speed, level = sweep.quiet_speed(31.0)
    assert sweep.speeds[0] < speed < 1.0
    at = over_fan_speeds(loop(), speeds=[speed - 0.05, speed])
    assert at.ranges["coolant.max"][0, 2] > 31.0 >= at.ranges["coolant.max"][1, 2]
    assert level == pytest.approx(float(at.point.sound_level[1]), abs=0.4)
    assert sweep.quiet_speed(20.0) is None
    assert sweep.quiet_speed(80.0)[0] == sweep.speeds[0]


def test_no_level_declared_no_level_told():
    quiet = over_fan_speeds(loop(pump(), block(), radiator(fans={"sound_level": None})))
    assert quiet.quiet_speed(80.0)[1] is None


def test_a_loop_without_an_answer_has_no_range():
    with pytest.raises(LoopFault, match="coolant"):
        spread(loop(pump(), block(heat=3000.0), radiator(fan_speed=0.2, sections=1, fans={"count": 1})))


def test_factors_of_the_mean_are_the_point():
    model = model_of(loop())
    factors = model.factors(np.zeros(len(model.names)))
    assert solve(loop(), factors).mean == pytest.approx(solve(loop(), Factors()).mean)
