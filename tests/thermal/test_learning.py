"""Learning from the bench: the update against its closed form, absurd readings, setting aside."""

import numpy as np
import pytest

from tests.thermal.loops import block, loop, pump, radiator
from thermal.faults import LoopFault
from thermal.learning import SoakReading, learn
from thermal.loop import Factors, solve
from thermal.prior import COMMON_SD, Prior
from thermal.spread import spread

LOOP = loop(pump(), block(), block("graphics", heat=300.0), radiator())


def reading(job="one", factors=None, **changes):
    """What the sensors of a machine with these factors would read."""
    result = solve(LOOP, factors)
    parts = {name: float(value) for name, value in result.components.items()}
    return SoakReading(
        job=job, loop=LOOP, **{"coolant": float(result.nodes["pump"]), "node": "pump", "parts": parts} | changes
    )


def test_a_reading_as_foretold_moves_nothing_and_narrows():
    learned = learn([reading()])
    assert learned.prior.mean == pytest.approx([0.0] * 4, abs=1e-9)
    assert all(after < before for after, before in zip(learned.prior.deviations, COMMON_SD, strict=True))
    assert learned.steps[0].flagged == ()
    assert learned.steps[0].what == ("coolant", "processor", "graphics")


def test_the_update_is_the_conditional_of_a_joint_normal():
    """For one block: log R read with job scatter 14 %, load 4 %, 1.5 K; the textbook one-dimensional update."""
    factors = Factors(resistance={"processor": 1.2})
    step = learn([reading(factors=factors)]).steps[0]
    result = solve(LOOP)
    rise = float(result.components["processor"] - result.nodes["pump"])
    own = 0.14**2 + 0.04**2 + (1.5 / (rise * 1.2)) ** 2
    gain = 0.14**2 / (0.14**2 + own)
    assert step.after.mean[2] == pytest.approx(gain * step.residuals[1], rel=0.12)
    assert step.after.deviations[2] == pytest.approx(0.14 * np.sqrt(1 - gain), rel=0.03)
    assert step.after.mean[3] == pytest.approx(0.0, abs=0.01)


def test_a_warm_workshop_is_learnt_from_several_jobs():
    """All its radiators give less than the model says: the coolant of the next job is foretold warmer."""
    poor = Factors(air_flow=0.85, air_side=0.8)
    learned = learn([reading(f"job {i}", poor) for i in range(8)])
    assert learned.prior.mean[0] < -0.03
    assert learned.prior.mean[1] < -0.05
    truth, before = float(solve(LOOP, poor).mean_over_room), spread(LOOP).ranges["mean_over_room"]
    after = spread(LOOP, learned.prior).ranges["mean_over_room"]
    assert abs(after[1] - truth) < 0.4 * abs(before[1] - truth)
    assert after[2] - after[0] < before[2] - before[0]


def test_order_does_not_matter_much():
    """Exactly it would not for a linear model; the loop is nearly one in its logarithms."""
    readings = [reading(str(i), Factors(air_side=factor)) for i, factor in enumerate((0.8, 1.1, 0.9))]
    forth, back = learn(readings).prior, learn(readings[::-1]).prior
    assert forth.mean == pytest.approx(back.mean, abs=0.005)
    assert forth.deviations == pytest.approx(back.deviations, rel=0.02)


def test_an_absurd_reading_is_flagged_and_cannot_wreck_it():
    good = [reading(str(i)) for i in range(4)]
    absurd = reading("absurd", coolant=95.0, parts={})
    learned = learn([*good, absurd])
    assert learned.steps[-1].flagged == ("coolant",)
    assert abs(learned.steps[-1].normalised[0]) > 3.0
    shift = np.abs(np.array(learned.prior.mean) - np.array(learn(good).prior.mean))
    assert np.all(shift < 0.5 * np.array(learn(good).prior.deviations))


def test_a_reading_set_aside_counts_for_nothing_but_stays_on_record():
    odd = reading("odd", Factors(air_side=0.6), aside="the side panel was off")
    learned = learn([reading("one"), odd, reading("two")])
    assert learned.prior == learn([reading("one"), reading("two")]).prior
    assert learned.steps[1].aside == "the side panel was off"
    assert learned.steps[1].after == learned.steps[1].before


def test_what_a_job_taught_is_told():
    narrowed = learn([reading(parts={})]).steps[0].narrowed
    assert set(narrowed) == {"air flow", "air side", "processor block", "graphics block"}
    assert narrowed["air side"] < 0.97
    assert narrowed["processor block"] == pytest.approx(1.0)


def test_no_jobs_leave_the_prior():
    assert learn([]).prior == Prior()


@pytest.mark.parametrize(
    ("changes", "field", "word"),
    [
        ({"coolant": None, "parts": {}}, "one.coolant", "is missing"),
        ({"coolant": None}, "one.coolant", "is missing"),
        ({"node": "attic"}, "one.node", "not a component"),
        ({"parts": {"attic": 50.0}}, "one.attic", "not a block"),
        ({"coolant": 20.0}, "one.coolant", "above 0 K"),
        ({"coolant": float("nan")}, "one.coolant", "above 0 K"),
        ({"parts": {"processor": 25.0}}, "one.processor", "above 0 K"),
    ],
)
def test_a_reading_that_cannot_be_is_refused(changes, field, word):
    with pytest.raises(LoopFault, match=word) as refusal:
        learn([reading(**changes)])
    assert refusal.value.field == field


def test_a_reading_without_load_is_refused():
    cold = loop(pump(heat=0.0), block(heat=0.0), radiator())
    with pytest.raises(LoopFault, match="no rise over the room"):
        learn([SoakReading(job="cold", loop=cold, coolant=23.0, node="pump")])
