"""How far facts and model may be off: the scatter common to a workshop's way of working, and that of one job.

All factors are normal in their logarithm; the room alone is normal in kelvin. The sizes are common practice,
and the common part is what bench readings sharpen (`learning`).
"""

import math
from dataclasses import dataclass

import numpy as np

from .loop import Factors

__all__ = ["COMMON", "Model", "Prior", "model_of"]

COMMON = ("air flow", "air side", "processor block", "graphics block")
COMMON_SD = (0.10, 0.13, 0.14, 0.14)
_AIR_SIDE_TYPICAL, _BLOCK_TYPICAL = 0.22, 0.25  # common sd when core or fins, or a resistance, are defaults
_JOB = {"air_flow": 0.11, "air_side": 0.08, "resistance": 0.14, "heat": 0.08, "pump": 0.10, "drops": 0.15}
_JOB_AIR_SIDE_TYPICAL, _JOB_BLOCK_TYPICAL = 0.10, 0.20
ROOM_SD = 1.0  # K


@dataclass(frozen=True)
class Prior:
    """A joint normal of the four COMMON log factors: mean (4) and covariance (4 × 4), as tuples."""

    mean: tuple = (0.0,) * 4
    covariance: tuple = tuple(
        tuple(sd * sd if row == column else 0.0 for column in range(4)) for row, sd in enumerate(COMMON_SD)
    )

    def __post_init__(self):
        mean, covariance = np.array(self.mean, dtype=float), np.array(self.covariance, dtype=float)
        if mean.shape != (4,) or covariance.shape != (4, 4) or not np.all(np.isfinite(covariance)):
            raise ValueError("a prior needs four means and a covariance of four by four.")
        if not np.allclose(covariance, covariance.T) or np.linalg.eigvalsh(covariance)[0] < 0.0:
            raise ValueError("the covariance of a prior must be symmetric and not negative.")

    @classmethod
    def of(cls, mean, covariance):
        """From arrays, made exactly symmetric."""
        symmetric = 0.5 * (np.asarray(covariance) + np.asarray(covariance).T)
        return cls(tuple(map(float, mean)), tuple(tuple(map(float, row)) for row in symmetric))

    @classmethod
    def from_document(cls, document):
        """From what `document()` gave."""
        return cls(tuple(document["mean"]), tuple(map(tuple, document["covariance"])))

    def document(self):
        """Plain lists, to keep beside an answer that used it."""
        return {"mean": list(self.mean), "covariance": [list(row) for row in self.covariance]}

    @property
    def deviations(self):
        """Standard deviation of each common log factor."""
        return tuple(math.sqrt(self.covariance[place][place]) for place in range(4))


@dataclass(frozen=True)
class Model:
    """The log factors of one loop: log factor = common·(COMMON's) + the job's own.

    names: (kind, block name or "") of each; common: array (k, 4) of 0 and 1; job: standard deviations (k).
    """

    names: tuple
    common: np.ndarray
    job: np.ndarray

    def mean_and_covariance(self, prior):
        """(k) and (k, k) under a prior."""
        spread = self.common @ np.array(prior.covariance) @ self.common.T + np.diag(self.job**2)
        return self.common @ np.array(prior.mean), spread

    def factors(self, logs, room=0.0):
        """Factors for log factors of shape (…, k), and a room offset [K]."""
        found = {"resistance": {}, "heat": {}, "room": room}
        for place, (kind, block) in enumerate(self.names):
            value = np.exp(logs[..., place])
            if block:
                found[kind][block] = value
            else:
                found[kind] = value
        return Factors(**found)


def model_of(loop, heat_sd=_JOB["heat"]):
    """The Model of a loop; facts left to their defaults (loop.assumed) scatter more.

    heat_sd: scatter of each block's heat, less where the load was measured.
    """
    assumed = {(one.part, one.fact) for one in loop.assumed}
    core = any((r.name, fact) in assumed for r in loop.radiators for fact in ("core_depth", "fins_per_inch"))
    rows = [("air_flow", "", 0, _JOB["air_flow"])]
    rows.append(("air_side", "", 1, _with_typical(1, _AIR_SIDE_TYPICAL, _JOB_AIR_SIDE_TYPICAL, core)))
    for block in loop.blocks:
        place = 2 + (block.family == "graphics")
        typical = (block.name, "resistance") in assumed
        rows.append(("resistance", block.name, place, _with_typical(2, _BLOCK_TYPICAL, _JOB_BLOCK_TYPICAL, typical)))
    rows += [("heat", block.name, None, heat_sd) for block in loop.blocks]
    rows += [("pump", "", None, _JOB["pump"]), ("drops", "", None, _JOB["drops"])]
    common = np.zeros((len(rows), 4))
    for row, (_, _, place, _) in enumerate(rows):
        if place is not None:
            common[row, place] = 1.0
    return Model(tuple(row[:2] for row in rows), common, np.array([row[3] for row in rows]))


def _with_typical(place, common, job, typical):
    """The job's scatter; a default's wider common scatter cannot be learnt, so it comes to the job's."""
    if not typical:
        return _JOB["air_side"] if place == 1 else _JOB["resistance"]
    return math.sqrt(job**2 + common**2 - COMMON_SD[place] ** 2)
