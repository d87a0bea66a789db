"""How sure a schedule's dates are: the same work many times over, with hours and deliveries as they may fall.

Hours are triangular between low, likely and high; parts come as late as their supplier has been before. All
samples take the tasks in one order, that of the plan's own starts, and are reckoned together as arrays. In each
sample nobody does two things at once and no task comes before its parts and predecessors; of the gaps that waiting
leaves in a person's work, only the largest is remembered and filled.
"""

from datetime import date
from itertools import pairwise

import numpy as np

from .working_time import SLOTS_AN_HOUR

SAMPLES, SEED = 500, 20260301
AT_ONCE = 64  # tasks whose hours are drawn together: what fits into a processor's cache
FEW = 5  # deliveries, until a supplier's own lateness counts
# Days late of a supplier nobody knows yet: on time six times in ten. An assumption of ours, not a finding.
UNKNOWN = (0, 0, 0, 0, 0, 0, 1, 2, 4, 7)


def triangular(low, likely, high, chance):
    """Inverse of the triangular distribution's cumulative probability (n, S), in the unit of the hours.

    low, likely, high: (n,). chance: (n, S), 0 to 1. Source: Kotz & van Dorp, Beyond Beta (2004), ch. 1.

    >>> triangular(np.array([0.0]), np.array([2.0]), np.array([4.0]), np.array([[0.0, 0.125, 0.5, 1.0]]))
    array([[0., 1., 2., 4.]])
    """
    low, likely, high = (np.asarray(edge, chance.dtype)[:, None] for edge in (low, likely, high))
    span = high - low
    rising, falling = chance * (span * (likely - low)), (1 - chance) * (span * (high - likely))
    np.sqrt(rising, out=rising)
    np.sqrt(falling, out=falling)
    # Below the likely figure the one branch holds, above it the other; each is capped there, so they add up.
    return np.minimum(low + rising, likely) + np.maximum(high - falling, likely) - likely


def late_days(sources, history, chance):
    """Days late (sources, S): drawn from each supplier's own deliveries, from UNKNOWN while they are few.

    history: {source: days late of past deliveries}; early counts as on time.
    """
    found = np.empty(chance.shape, np.int32)
    for row, source in enumerate(sources):
        known = history.get(source, ())
        days = np.maximum(np.asarray(known if len(known) >= FEW else UNKNOWN), 0)
        found[row] = days[(chance[row] * len(days)).astype(int)]
    return found


def samples(schedule, history=None, count=SAMPLES, seed=SEED):
    """{task: (S,) moments at which it ends} for a Schedule. history: see late_days. One seed, the same dates."""
    rng, time = np.random.default_rng(seed), schedule.time
    # Sorting keeps the order of placing among tasks of one moment, so predecessors stay first.
    placed = sorted(schedule.placed.values(), key=lambda one: one.start)
    work = dict(zip((one.piece.key for one in placed), _work(placed, rng, count), strict=True))
    awaited = awaits(schedule, placed)
    release = _releases(awaited, time, history or {}, rng, count)
    rows = stretches(schedule, placed, awaited)
    asked = _asked(schedule, rows)
    bench, ends = _Bench(time, count), {}
    for row in rows:
        ready = bench.zero
        for before in schedule.follows[row[0].piece.key]:
            ready = np.maximum(ready, ends[before])
        keys = [one.piece.key for one in row]
        if keys[0] in release:
            ready = np.maximum(ready, release[keys[0]])
        if row[0].work:
            ends.update(bench.put(ready, keys, work, asked))
        else:
            ends[keys[0]] = ready
    return ends


def _asked(schedule, rows):
    """Tasks inside a stretch whose end somebody outside waits for, or that nothing follows."""
    found = set(schedule.placed)
    for row in rows:
        for before, after in pairwise(row):
            if schedule.leads[before.piece.key] == [after.piece.key]:
                found.discard(before.piece.key)
    return found


def awaits(schedule, placed):
    """{task: its arrivals}, without those that a task before it has waited for: as late a day, the same source.

    placed: predecessors first. Parts of one source are late together, so the earlier day never comes last.
    """
    latest, found = {}, {}
    for one in placed:
        befores = schedule.follows[one.piece.key]
        known = latest[befores[0]] if befores else {}
        for before in befores[1:]:
            more = latest[before]
            if more is not known:
                known = {source: max(days) for source, days in _together(known, more)}
        own = [arrival for arrival in one.piece.arrivals if arrival[0] > known.get(arrival[1], date.min)]
        if own:
            found[one.piece.key] = own
            known = known | {source: day for day, source, _part in sorted(own, key=lambda arrival: arrival[0])}
        latest[one.piece.key] = known
    return found


def _together(one, other):
    return ((s, [days[s] for days in (one, other) if s in days]) for s in one.keys() | other.keys())


def stretches(schedule, placed, awaited):
    """Tasks that the plan gives to one person one after the other with nothing to wait for between: [[Placed]].

    A stretch is booked as one, which a sample of its own order would do as well.
    """
    found, tail, waits = [], {}, {}
    for one in placed:
        row = tail.get(one.person)
        befores = schedule.follows[one.piece.key]
        last = row and row[-1]
        if (
            row and one.work and one.piece.key not in awaited and last.piece.key in befores
            and schedule.meets(last.end, one) and waits[one.person].issuperset(befores)
        ):  # fmt: skip
            row.append(one)
            waits[one.person].update(befores, [one.piece.key])
        else:
            found.append([one])
            if one.work:
                tail[one.person] = found[-1]
                waits[one.person] = {one.piece.key, *befores}
    return found


def quantile_days(schedule, ends, shares=(0.5, 0.8)):
    """{job: the dates by which its work is done in such shares of the samples}, as day numbers from today."""
    by_job = {}
    for key, one in schedule.placed.items():
        if not schedule.leads[key]:
            last, until = by_job.get(one.piece.job), ends[key] if one.work else ends[key] + 1
            by_job[one.piece.job] = until if last is None else np.maximum(last, until)
    if not by_job:
        return {}
    # The smallest day that at least such a share of samples meets, never one between two days.
    found = np.quantile(np.array(list(by_job.values())), shares, axis=1, method="inverted_cdf")
    days = schedule.time.days(found.astype(int))
    return {job: tuple(int(day) for day in days[:, row]) for row, job in enumerate(by_job)}


def _work(placed, rng, count):
    edges = np.array([one.piece[2:5] for one in placed], np.float32).reshape(-1, 3) * SLOTS_AN_HOUR
    work = np.empty((len(placed), count), np.int32)
    for first in range(0, len(placed), AT_ONCE):
        rows = slice(first, first + AT_ONCE)
        work[rows] = np.rint(triangular(*edges[rows].T, rng.random(work[rows].shape, dtype=np.float32)))
    return np.maximum(work, 1, out=work)


def _releases(awaited, time, history, rng, count):
    """{task: (S,) moment} at which its last part has come; parts of one source are late together."""
    sources = sorted({source for arrivals in awaited.values() for _day, source, _part in arrivals}, key=str)
    late = late_days(sources, history, rng.random((len(sources), count)))
    late = dict(zip(sources, late, strict=True))
    opens, found = time.opens.astype(np.int32), {}
    for key, arrivals in awaited.items():
        days = [(day - time.today).days + late[source] for day, source, _part in arrivals]
        found[key] = opens.take(np.maximum(np.maximum.reduce(days), 0), mode="clip")
    return found


class _Bench:
    """The people's room in every sample: for each person the largest gap left, and the open end behind all work.

    Room is counted in slots that the person has worked before it, to which a number for the person is added (offset),
    so that one look-up turns all people's counts into moments.
    """

    def __init__(self, time, count):
        people = len(time.done)
        self.people, self.count, self.even = people, count, time.is_even
        self.zero, self.column = np.zeros(count, np.int32), np.arange(count)
        self.offset = np.arange(people, dtype=np.int32)[:, None] * np.int32(0 if self.even else time.last + 1)
        self.done = time.done + self.offset
        self.ends_at, self.limit = np.ascontiguousarray(time.ends).ravel(), self.offset + np.int32(time.last)
        self.gap, self.gap_end, self.open = (np.repeat(self.offset, count, axis=1) for _ in range(3))
        self.person = np.arange(people, dtype=np.int32)[:, None]
        self.bits = int(people).bit_length()

    def put(self, ready, keys, works, asked):
        """Book tasks one after another from `ready` (S,) on, with whoever ends first: {task: end} of those asked for.

        works: {task: (S,) slots}.
        """
        whole = works[keys[0]]
        for key in keys[1:]:
            whole = whole + works[key]
        ready = ready if self.even else self.done.take(ready, axis=1, mode="clip")
        until = np.maximum(self.open, ready)
        until += whole
        in_gap = np.maximum(self.gap, ready)
        in_gap += whole
        fits = in_gap <= self.gap_end
        np.copyto(until, in_gap, where=fits)  # a gap lies before the open end
        if not self.even:
            np.minimum(until, self.limit, out=until)
        code = self._moment(until) << self.bits
        code |= self.person
        spot = (np.minimum.reduce(code, axis=0) & ((1 << self.bits) - 1)) * self.count + self.column
        until = until.take(spot)
        self._book(spot, fits.take(spot), until - whole, until)
        found, later = {}, self.zero
        for key in reversed(keys):
            if key in asked:
                found[key] = self._moment(until - later)
            later = later + works[key]
        return found

    def _moment(self, until):
        return until if self.even else self.ends_at.take(until, mode="clip")

    def _book(self, spot, fits, start, until):
        """Take the stretch from start to until (S,) out of each sample's person, whose gap (fits) or open end it is."""
        gap, gap_end, open_end = self.gap.reshape(-1), self.gap_end.reshape(-1), self.open.reshape(-1)
        first, last, free = gap.take(spot), gap_end.take(spot), open_end.take(spot)
        open_end[spot] = np.where(fits, free, until)
        # Behind the work: of an open end the open end, of a gap its rest. Before it: a gap, kept if it is the larger.
        came = np.where(fits, first, free)
        np.copyto(first, until, where=fits)
        longer = start - came > last - first
        gap[spot] = np.where(longer, came, first)
        np.copyto(last, start, where=longer)
        gap_end[spot] = last
