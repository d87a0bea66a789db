"""Learning from the bench: what soak readings of finished jobs say about a workshop's common factors.

A joint normal of the four COMMON log factors is updated reading by reading (the linear Gaussian update, in the
form of a Kalman gain; any text on estimation). Nothing is kept but the readings: setting one aside means
learning again from all the others.
"""

from dataclasses import dataclass, field

import numpy as np

from .faults import LoopFault
from .loop import Loop, solve
from .prior import COMMON, Prior, model_of

__all__ = ["Learned", "SoakReading", "Step", "learn"]

LOAD_SD = 0.04  # of a load read during the soak
COOLANT_SD, PART_SD = 0.7, 1.5  # K, of a coolant and of a component difference
ABSURD = 3.0  # normalised residual above which a reading counts for less
LEAST_RISE = 0.05  # K, below which a difference teaches nothing
_STEP = 0.05  # of a log factor, for the central differences


@dataclass(frozen=True, kw_only=True)
class SoakReading:
    """One job's steady soak, averaged: temperatures in °C.

    loop: with the load, speeds and room as measured. coolant: at the inlet of the component `node` ("": taken as the
    mean of the loop, from which one place differs little), or None.
    parts: {block name: temperature read}. aside: the reason why it is not to count, "" when it does.
    """

    job: str
    loop: Loop
    coolant: float | None = None
    node: str = ""
    parts: dict = field(default_factory=dict)
    aside: str = ""


@dataclass(frozen=True)
class Step:
    """What one reading taught.

    what: names of the differences read ("coolant" and blocks); residuals: ln(measured/predicted) of each;
    normalised: residual over its expected scatter; flagged: names whose reading looked absurd and counted for
    less; before, after: the Prior around it.
    """

    job: str
    what: tuple
    residuals: tuple
    normalised: tuple
    flagged: tuple
    before: Prior
    after: Prior
    aside: str = ""

    @property
    def narrowed(self):
        """{common factor: standard deviation after, as a part of before}."""
        pairs = zip(COMMON, self.after.deviations, self.before.deviations, strict=True)
        return {name: after / before for name, after, before in pairs}


@dataclass(frozen=True)
class Learned:
    """The prior for the next job, and how it came about (steps in the order of the readings)."""

    prior: Prior
    steps: tuple


def learn(readings, prior=None):
    """Learned from SoakReadings in the order given; prior: before any of them.

    Raises LoopFault for a reading that cannot be: no temperature, an unknown name, no rise over the room.

    >>> from thermal.document import load_loop
    >>> loop = load_loop("fixtures/loops/one-radiator.json")
    >>> cool = SoakReading(job="one", loop=loop, coolant=30.2, node="pump")
    >>> step = learn([cool]).steps[0]
    >>> round(step.residuals[0], 3), step.after.deviations[1] < step.before.deviations[1]
    (-0.073, True)
    """
    before, steps = prior or Prior(), []
    for reading in readings:
        step = _aside(reading, before) if reading.aside else _step(reading, before)
        steps.append(step)
        before = step.after
    return Learned(before, tuple(steps))


def _aside(reading, before):
    return Step(reading.job, (), (), (), (), before, before, reading.aside)


def _step(reading, before):
    what, measured, noise = _differences(reading)
    model = model_of(reading.loop, heat_sd=LOAD_SD)
    center = model.common @ np.array(before.mean)
    predicted, slopes = _predicted(reading, model, center, what)
    if np.any(predicted <= LEAST_RISE):
        raise LoopFault(f"{reading.job}.load", "gives no rise over the room to compare with; check the load read.")
    residual = np.log(measured / predicted)
    sensitivity = slopes @ model.common  # of the readings to the four common factors
    known = sensitivity @ np.array(before.covariance) @ sensitivity.T
    own = slopes @ np.diag(model.job**2) @ slopes.T + np.diag((noise / measured) ** 2)
    normalised = residual / np.sqrt(np.diag(known + own))
    # An absurd reading counts for less: its own scatter grows by the square of how absurd it is.
    weak = np.maximum(1.0, np.abs(normalised) / ABSURD)
    scatter = known + own * np.outer(weak, weak)
    gain = np.linalg.solve(scatter, sensitivity @ np.array(before.covariance)).T
    kept = np.eye(4) - gain @ sensitivity
    covariance = kept @ np.array(before.covariance)
    after = Prior.of(np.array(before.mean) + gain @ residual, covariance)
    flagged = tuple(name for name, size in zip(what, weak, strict=True) if size > 1.0)
    return Step(reading.job, what, tuple(residual.tolist()), tuple(normalised.tolist()), flagged, before, after)


def _differences(reading):
    """(names, measured differences [K], their standard deviations [K]) of what a reading holds."""
    room = reading.loop.room_temperature
    what, measured, noise = [], [], []
    if reading.coolant is not None:
        if reading.node and reading.node not in {part.name for part in reading.loop.components}:
            raise LoopFault(f"{reading.job}.node", f"“{reading.node}” is not a component of this loop.")
        what.append("coolant")
        measured.append(reading.coolant - room)
        noise.append(COOLANT_SD)
    for name, temperature in reading.parts.items():
        if name not in {block.name for block in reading.loop.blocks}:
            raise LoopFault(f"{reading.job}.{name}", "is not a block of this loop.")
        if reading.coolant is None:
            raise LoopFault(f"{reading.job}.coolant", "is missing; a part's rise counts from the coolant.")
        what.append(name)
        measured.append(temperature - reading.coolant)
        noise.append(PART_SD)
    if not what:
        raise LoopFault(f"{reading.job}.coolant", "is missing; a reading needs at least the coolant.")
    for name, rise in zip(what, measured, strict=True):
        if not (np.isfinite(rise) and rise > LEAST_RISE):
            raise LoopFault(f"{reading.job}.{name}", f"reads {rise:.1f} K of rise; it must be above 0 K to count.")
    return tuple(what), np.array(measured), np.array(noise)


def _predicted(reading, model, center, what):
    """(predicted differences [K], their log slopes over every log factor) at a centre, in one solve."""
    size = len(center)
    logs = np.vstack([center, center + _STEP * np.eye(size), center - _STEP * np.eye(size)])
    result = solve(reading.loop, model.factors(logs), strict=False)
    count = (2 * size + 1,)
    coolant = np.broadcast_to(result.nodes[reading.node] if reading.node else result.mean, count)
    rises = [
        coolant - result.room if name == "coolant" else np.broadcast_to(result.components[name], count) - coolant
        for name in what
    ]
    rises = np.array(rises)
    if np.any(rises <= LEAST_RISE):
        return rises[:, 0], np.zeros((len(what), size))
    slopes = np.log(rises)
    return rises[:, 0], (slopes[:, 1 : size + 1] - slopes[:, size + 1 :]) / (2.0 * _STEP)
