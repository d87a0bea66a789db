"""How sure a schedule's dates are: the same work many times over, with hours and deliveries as they may fall.

Hours are triangular between low, likely and high; parts come as late as their supplier has been before. All
samples take the tasks in one order, that of the plan's own starts, and are reckoned together as arrays. In each
sample nobody does two things at once and no task comes before its parts and predecessors; of the gaps that waiting
leaves in a person's work, only the largest is remembered and filled.
"""

from itertools import pairwise

import numpy as np

from .working_time import SLOTS_AN_HOUR

LATEST = np.iinfo(np.int32).max
SAMPLES, SEED = 500, 20260301
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
    span, rise, fall = high - low, likely - low, high - likely
    turn = np.divide(rise, span, out=np.zeros_like(span), where=span > 0)
    up = low + np.sqrt(chance * (span * rise))
    return np.where(chance < turn, up, high - np.sqrt((1 - chance) * (span * fall)))


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
    release = _releases(placed, time, history or {}, rng, count)
    rows = stretches(schedule, placed)
    asked = _asked(schedule, rows)
    bench, ends = _Bench(time, count), {}
    for row in rows:
        ready = bench.zero
        for before in schedule.befores(row[0]):
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


def stretches(schedule, placed):
    """Tasks that the plan gives to one person one after the other with nothing to wait for between: [[Placed]].

    A stretch is booked as one, which a sample of its own order would do as well.
    """
    found, tail, waits = [], {}, {}
    for one in placed:
        row = tail.get(one.person)
        befores = schedule.befores(one)
        last = row and row[-1]
        if (
            row and one.work and not one.piece.arrivals and last.piece.key in befores
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
    chance = rng.random((len(placed), count), dtype=np.float32)
    edges = np.array([one.piece[2:5] for one in placed], np.float32).reshape(-1, 3) * SLOTS_AN_HOUR
    work = np.rint(triangular(*edges.T, chance)).astype(np.int32)
    return np.maximum(work, 1, out=work)


def _releases(placed, time, history, rng, count):
    """{task: (S,) moment} at which its last part has come; parts of one source are late together."""
    sources = sorted({source for one in placed for _day, source, _part in one.piece.arrivals}, key=str)
    late = late_days(sources, history, rng.random((len(sources), count)))
    late = dict(zip(sources, late, strict=True))
    opens, found = time.opens.astype(np.int32), {}
    for one in placed:
        days = [(day - time.today).days + late[source] for day, source, _part in one.piece.arrivals]
        if days:
            found[one.piece.key] = opens.take(np.maximum(np.maximum.reduce(days), 0), mode="clip")
    return found


class _Bench:
    """The people's room in every sample: for each person a gap (rows 0 to P − 1) and the open end (P to 2P − 1)."""

    def __init__(self, time, count):
        people = len(time.done)
        self.people, self.count, self.time, self.last = people, count, time, time.last
        self.zero, self.column = np.zeros(count, np.int32), np.arange(count)
        self.begin = np.zeros((2 * people, count), np.int32)
        self.end = np.zeros((2 * people, count), np.int32)
        self.end[people:] = LATEST
        self.even = time.is_even
        rows = np.concatenate([np.arange(people), np.arange(people)])[:, None].astype(np.int32)
        self.offset = rows * np.int32(time.done.shape[1])
        self.done, self.ends_at = np.ascontiguousarray(time.done).ravel(), np.ascontiguousarray(time.ends).ravel()
        self.server = np.arange(2 * people, dtype=np.int32)[:, None]
        self.bits = int(2 * people - 1).bit_length()

    def put(self, ready, keys, works, asked):
        """Book tasks one after another from `ready` (S,) on, with whoever ends first: {task: end} of those asked for.

        works: {task: (S,) slots}.
        """
        whole = works[keys[0]]
        for key in keys[1:]:
            whole = whole + works[key]
        start = np.maximum(self.begin, ready)
        end = self._end(start, whole)
        code = (end << self.bits) | self.server
        np.putmask(code, end > self.end, LATEST)
        best = code.min(axis=0)
        who, ended = best & ((1 << self.bits) - 1), best >> self.bits
        self._book(who, start, ended)
        found, later = {}, self.zero
        for key in reversed(keys):
            if key in asked:
                found[key] = self._back(ended, later, who) if found or key != keys[-1] else ended
            later = later + works[key]
        return found

    def _end(self, start, work):
        if self.even:
            return np.minimum(start + work, self.last)
        count = self.done.take(start + self.offset, mode="clip")
        count += work
        np.minimum(count, self.last, out=count)
        count += self.offset
        return self.ends_at.take(count, mode="clip")

    def _back(self, end, work, who):
        """The moment so much work before `end`."""
        if self.even:
            return np.maximum(end - work, 0)
        offset = self.offset[:, 0].take(who)
        return self.ends_at.take(np.maximum(self.done.take(end + offset) - work, 0) + offset)

    def _book(self, who, start, ended):
        begin, end = self.begin.ravel(), self.end.ravel()
        spot = who * self.count + self.column
        came, began = begin.take(spot), start.ravel().take(spot)
        is_open = who >= self.people
        gap = spot - is_open * (self.people * self.count)
        # What is left behind the work: of the open end the open end, of a gap its rest. Before it: a new gap.
        first, last = np.where(is_open, begin.take(gap), ended), end.take(gap)
        longer = began - came > last - first
        begin[spot] = ended
        begin[gap] = np.where(longer, came, first)
        end[gap] = np.where(longer, began, last)
