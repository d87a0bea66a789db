"""The range: what the uncertainty of facts and model does to the operating point."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from .loop import solve
from .prior import ROOM_SD, Prior, model_of
from .quasi import normal_samples
from .result import Result

__all__ = ["FanSweep", "Spread", "figures", "over_fan_speeds", "spread"]

SAMPLES, SWEEP_SAMPLES, SWEEP_SPEEDS = 2048, 256, 12
PARTS = (0.1, 0.5, 0.9)


@dataclass(frozen=True)
class Spread:
    """The range of an operating point: the point itself, the solved samples, the prior they used."""

    point: Result
    samples: Result
    prior: Prior
    count: int

    def quantiles(self, values):
        """(10 %, 50 %, 90 %) of sampled values; values that no sample changed stand three times."""
        return tuple(float(value) for value in np.quantile(np.broadcast_to(values, (self.count,)), PARTS))

    @cached_property
    def ranges(self):
        """{key: (10 %, 50 %, 90 %)} with the keys of a result document, parts of it joined by points."""
        return {key: self.quantiles(values) for key, values in figures(self.samples).items()}

    @property
    def unsettled(self):
        """Part of the samples that ended outside the coolant's table or did not settle."""
        bad = self.samples.outside | ~self.samples.converged
        return float(np.mean(np.broadcast_to(bad, (self.count,))))


def spread(loop, prior=None, samples=SAMPLES):
    """The Spread of a loop under a Prior (the default one knows no workshop); the same every time.

    Raises LoopFault as `solve` does when the point itself has no answer.

    >>> from thermal.document import load_loop
    >>> low, middle, high = spread(load_loop("fixtures/loops/one-radiator.json")).ranges["mean_over_room"]
    >>> round(low, 1), round(middle, 1), round(high, 1)
    (7.9, 9.2, 10.7)
    """
    prior = prior or Prior()
    point = solve(loop)
    return Spread(point, solve(loop, _sampled(loop, prior, samples), strict=False), prior, samples)


@dataclass(frozen=True)
class FanSweep:
    """The loop at several fan speeds, all radiators at one: the point, and the range by key."""

    speeds: np.ndarray  # (speeds), parts of rated speed
    point: Result  # arrays (speeds)
    ranges: dict  # {key: (speeds, 3) array of 10, 50 and 90 %}

    def quiet_speed(self, limit, key="coolant.max"):
        """(speed, its level [dB] or None): the slowest at which the 90 % side of a temperature keeps a limit [°C].

        None when it does not even at the fastest. Between the speeds it goes straight; since the temperature's
        curve sags, that is on the safe side.
        """
        worse = self.ranges[key][:, 2]
        if worse[-1] > limit:
            return None
        speed = self.speeds[0] if worse[0] <= limit else np.interp(-limit, -worse, self.speeds)
        level = self.point.sound_level
        return float(speed), None if level is None else float(np.interp(speed, self.speeds, np.ravel(level)))


def over_fan_speeds(loop, prior=None, speeds=None, samples=SWEEP_SAMPLES):
    """The FanSweep of a loop; speeds default to twelve from the fans' start speed to full speed."""
    if speeds is None:
        start = max(radiator.fans.start_speed for radiator in loop.radiators)
        speeds = np.linspace(max(start, 0.05), 1.0, SWEEP_SPEEDS) if start < 1.0 else np.array([1.0])
    speeds = np.asarray(speeds, dtype=float)
    point = solve(_at_speeds(loop, speeds), strict=False)
    many = solve(_at_speeds(loop, speeds[:, None]), _sampled(loop, prior or Prior(), samples), strict=False)
    shape = len(speeds), samples
    ranges = {
        key: np.quantile(np.broadcast_to(values, shape), PARTS, axis=-1).T for key, values in figures(many).items()
    }
    return FanSweep(speeds, point, ranges)


def _at_speeds(loop, speeds):
    return loop.with_parts(**{radiator.name: {"fan_speed": speeds} for radiator in loop.radiators})


def _sampled(loop, prior, count):
    """Factors of shape (count,)."""
    model = model_of(loop)
    mean, covariance = model.mean_and_covariance(prior)
    normal = normal_samples(count, len(mean) + 1)
    logs = mean + normal[:, :-1] @ np.linalg.cholesky(covariance).T
    return model.factors(logs, ROOM_SD * normal[:, -1])


def figures(result):
    """{key: values} of a Result, with the keys of the ranges."""
    found = {
        "flow": result.flow,
        "coolant.mean": result.mean,
        "coolant.min": result.coolest,
        "coolant.max": result.warmest,
        "mean_over_room": result.mean_over_room,
        "case_air": result.case_air,
    }
    for name, temperature in result.nodes.items():
        found[f"node_over_room.{name}"] = temperature - result.room
    for name, temperature in result.components.items():
        found[f"components.{name}"] = temperature
        found[f"over_room.{name}"] = temperature - result.room
    for name, one in result.radiators.items():
        found |= {
            f"radiators.{name}.heat": one.heat,
            f"radiators.{name}.air_flow": one.air_flow,
            f"radiators.{name}.ua": one.ua,
            f"radiators.{name}.conductance": one.conductance,
        }
    return found
