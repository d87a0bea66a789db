"""A supplier's lead time as its own arrivals tell it. Pure, on plain numbers."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

# Fewer than this say little; more than this are old news.
LEAST, MOST = 5, 50


@dataclass(frozen=True)
class Learnt:
    """Days from placing to arrival, in whole days rounded up: half of the lines took no longer than `median`, four
    of five no longer than `most`; of `count` lines."""

    median: int
    most: int
    count: int


def percentile(values: Sequence[float], share: float) -> float:
    """The value that a share (0 to 1) of the values does not pass, between two values on the line between them.

    Definition 7 of Hyndman and Fan, Sample Quantiles in Statistical Packages (1996); NumPy's default. ValueError
    without values.

    >>> percentile([4, 5, 6, 9], 0.5), percentile([3, 5, 6, 8, 18], 0.75)
    (5.5, 8.0)
    """
    if not values:
        raise ValueError("a percentile needs at least one value")
    ordered = sorted(values)
    place = share * (len(ordered) - 1)
    below = floor(place + 1e-9)
    above = min(below + 1, len(ordered) - 1)
    return ordered[below] + max(place - below, 0) * (ordered[above] - ordered[below])


def learnt(days: Sequence[int]) -> Learnt | None:
    """What the days that lines took teach, the newest first; None while there are too few.

    >>> learnt([4, 6, 5, 12, 7])
    Learnt(median=6, most=8, count=5)
    """
    days = list(days)[:MOST]
    if len(days) < LEAST:
        return None
    return Learnt(_whole(percentile(days, 0.5)), _whole(percentile(days, 0.8)), len(days))


def _whole(days):
    return ceil(round(days, 6))
