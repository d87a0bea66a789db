"""Solving loop documents, each once: point, range and fan speeds, kept by document and prior.

document: a loop document as JSON text; prior: a `thermal.prior.Prior` document as JSON text, "" where the workshop
has learnt nothing yet. Only small plain answers are kept, never the samples.
"""

import json
from dataclasses import dataclass
from functools import lru_cache

KEPT = 256


@dataclass(frozen=True)
class Ranged:
    """The 10, 50 and 90 % of an operating point's figures, {key: (p10, p50, p90)}, with the prior they rest on.

    unsettled: part of the samples that ended outside what the model covers.
    """

    ranges: dict
    prior: object
    unsettled: float = 0.0

    def low_high(self, key):
        """(10 %, 90 %) of a figure, or None when it has no range."""
        found = self.ranges.get(key)
        return None if found is None else (found[0], found[2])


def text_of(document):
    return json.dumps(document, sort_keys=True)


@lru_cache(maxsize=KEPT)
def solved(document):
    """(Result, ()) of a loop document, or (None, the faults' remarks)."""
    from thermal.document import read_loop
    from thermal.faults import LoopFault
    from thermal.judging import judge_fault
    from thermal.loop import solve

    try:
        return solve(read_loop(json.loads(document))), ()
    except LoopFault as fault:
        return None, tuple(judge_fault(fault))


@lru_cache(maxsize=KEPT)
def ranged(document, prior=""):
    """The Ranged of a loop document that can be solved."""
    from thermal.spread import spread

    found = spread(solved(document)[0].loop, prior_of(prior))
    return Ranged(found.ranges, found.prior, found.unsettled)


@lru_cache(maxsize=KEPT // 4)
def swept(document, prior=""):
    """The `thermal.spread.FanSweep` of a loop document that can be solved."""
    from thermal.spread import over_fan_speeds

    return over_fan_speeds(solved(document)[0].loop, prior_of(prior))


@lru_cache(maxsize=KEPT // 4)
def mishaps(document):
    """{(what, radiator or ""): Result or LoopFault} of a loop document that can be solved."""
    from thermal.soak import what_if

    return what_if(solved(document)[0].loop)


def prior_of(text):
    from thermal.prior import Prior

    return Prior.from_document(json.loads(text)) if text else Prior()


def narrowing(document, priors):
    """[(10 %, 50 %, 90 %)] of coolant over room of one loop under several Priors; [] where it cannot be solved."""
    text = text_of(document)
    if solved(text)[0] is None:
        return []
    return [_over_room(text, prior) for prior in priors]


@lru_cache(maxsize=1024)
def _over_room(document, prior):
    from thermal.spread import SWEEP_SAMPLES, spread

    return spread(solved(document)[0].loop, prior, SWEEP_SAMPLES).ranges["mean_over_room"]
