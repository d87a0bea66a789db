"""What a pattern's step takes, learnt from the workshop's own logged hours. Pure."""

from dataclasses import dataclass
from math import ceil
from statistics import median

ENOUGH = 5


@dataclass(frozen=True)
class Learnt:
    """Hours for one of what a step counts: the median and the 80th percentile of so many jobs."""

    median: float
    most: float
    jobs: int

    @property
    def is_enough(self):
        """Until five jobs the pattern's own figures stand."""
        return self.jobs >= ENOUGH


def learnt(hours):
    """What finished tasks teach, None for none. hours: logged hours per count, one figure a job.

    The 80th percentile is NumPy's default, linear between two ranks (Hyndman & Fan 1996, type 7).

    >>> found = learnt([1, 2, 3, 4, 10])
    >>> found.median, round(found.most, 9), found.is_enough
    (3, 5.2, True)
    """
    if not hours:
        return None
    ranked = sorted(hours)
    place = 0.8 * (len(ranked) - 1)
    low, high = ranked[int(place)], ranked[ceil(place)]
    return Learnt(median(ranked), low + (high - low) * (place - int(place)), len(ranked))


def per_count(rows):
    """{pattern step id: [hours per count]} of (step id, count, logged time); without logged time nothing is taught."""
    found = {}
    for step, count, logged in rows:
        seconds = logged.total_seconds()
        if seconds > 0:
            found.setdefault(step, []).append(seconds / 3600 / max(count, 1))
    return found
