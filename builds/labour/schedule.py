"""When each task of all live jobs can be done, as they share the workshop's people. Pure, on plain values.

A serial schedule generation scheme (Kelley 1963; Kolisch 1996): tasks are taken one by one, of those whose
predecessors are placed the one with the first rank and the least float, and put at the earliest time at which
somebody has room for the whole of it, gaps before later work included. With unlimited people and no part
dates it is the critical-path method.

Known limits of list scheduling: shorter tasks, more people, or work added at an earlier or equal rank can in rare
networks bring a task to a later or an earlier day than before (Graham 1969). What never happens: work added behind all
other work moves nothing; with one person and no part dates, or with unlimited people, added work at any rank brings no
date forward. tests/labour/test_schedule.py shows both, and the exceptions.
"""

from bisect import bisect_right
from dataclasses import dataclass, field
from functools import cached_property
from heapq import heapify, heappop, heappush
from itertools import pairwise
from typing import Any, NamedTuple

from . import network
from .working_time import SLOTS_AN_HOUR


class Piece(NamedTuple):
    """A task's remaining work.

    low, likely, high: hours left. after: keys of tasks not done that come before it; keys of tasks that are not
    in the plan count for nothing. arrivals: (day, source, part) of each part it waits for.
    """

    key: Any
    job: Any
    low: float
    likely: float
    high: float
    after: tuple = ()
    arrivals: tuple = ()

    @property
    def release(self):
        """The day its last part comes, or None."""
        return max((day for day, *_ in self.arrivals), default=None)


def expected(low, likely, high):
    """PERT's expected duration, (o + 4m + p)/6 (Malcolm et al. 1959), in the unit given.

    >>> expected(1, 2, 9)
    3.0
    """
    return (low + 4 * likely + high) / 6


def slots_of(hours):
    """Slots for so many hours; anything to do takes one at least."""
    return max(round(hours * SLOTS_AN_HOUR), 1) if hours > 0 else 0


@dataclass(slots=True)
class Placed:
    """A task's place: moments of its earliest and latest start and end, who does it (None: unlimited people).

    release: the moment its last part comes. bound: the key of the task that holds it, "part" when its part does, None
    when nothing but today does.
    """

    piece: Piece
    work: int
    start: int
    end: int
    person: int | None
    release: int = 0
    bound: Any = None
    late_start: int = 0
    late_end: int = 0

    @property
    def until(self):
        """The moment by which it is there to be seen: work its end, what takes no work the slot after it."""
        return self.end if self.work else self.end + 1

    @property
    def slack(self):
        """Slots it can slip before any job is ready later."""
        return self.late_end - self.end


PART = "part"


@dataclass
class Schedule:
    """Every task placed, {key: Placed} in the order of placing.

    follows, leads: {key: keys of the tasks of the plan that come before it, after it}. people: what room everybody
    has left.
    """

    time: Any
    placed: dict = field(default_factory=dict)
    follows: dict = field(default_factory=dict)
    leads: dict = field(default_factory=dict)
    people: list = field(default_factory=list)
    _roots: dict = field(default_factory=dict, repr=False)

    def meets(self, moment, one):
        """Whether somebody can go on from a moment straight to a task: no working time lies between."""
        done, _ends = self.time.of_person(one.person or 0)
        return done[min(moment, self.time.last)] >= done[min(one.start, self.time.last)]

    @cached_property
    def of_jobs(self):
        """{job: its Placed, in the order of placing}."""
        found = {}
        for one in self.placed.values():
            found.setdefault(one.piece.job, []).append(one)
        return found

    @cached_property
    def last_of(self):
        """{job: its last task's Placed}."""
        return {job: max(ones, key=lambda one: one.until) for job, ones in self.of_jobs.items()}

    def chain(self, job):
        """The critical chain of a job: what holds its last day, from the first cause to the last task."""
        step, found = self.last_of.get(job), []
        while step is not None:
            found.append(step)
            step = self.placed.get(step.bound)
        return found[::-1]

    def holding(self, job):
        """(the first cause of a job's last day, keys of the job's own tasks in its critical chain).

        The ends of `chain`, without walking all of it: jobs that share people share most of it.
        """
        first, step, own = min(one.start for one in self.of_jobs[job]), self.last_of[job], set()
        while step is not None and step.start >= first:
            if step.piece.job == job:
                own.add(step.piece.key)
            root, step = step, self.placed.get(step.bound)
        return self._root(step or root), own

    def _root(self, step):
        passed = []
        while step.piece.key not in self._roots and step.bound in self.placed:
            passed.append(step.piece.key)
            step = self.placed[step.bound]
        root = self._roots.get(step.piece.key, step)
        self._roots.update(dict.fromkeys(passed, root))
        return root

    def day(self, job):
        """The date a job's work ends, None for one without tasks."""
        last = self.last_of.get(job)
        return last and self.time.day(last.until)


class Person:
    """One person's room: the free stretches left, in order."""

    def __init__(self, time, row, free=None):
        self.done, self.ends_at = time.of_person(row)
        self.last = time.last
        free = [(0, time.last)] if free is None else free
        self.starts, self.ends = [first for first, _ in free], [until for _, until in free]

    def fit(self, ready, work):
        """(end, start, which stretch) of the earliest room for so much work; the end of time when there is none."""
        first = bisect_right(self.ends, ready)
        starts, ends, done, ends_at, last = self.starts, self.ends, self.done, self.ends_at, self.last
        for place in range(first, len(starts)):
            start = max(starts[place], ready)
            count = done[start] + work
            if count <= last:
                end = ends_at[count]
                if end <= ends[place]:
                    return end, start, place
        return last, last, None

    def take(self, start, end, place, least):
        """Book it; stretches too short for any task are forgotten."""
        if place is None:
            return
        first, last = self.starts[place], self.ends[place]
        left = [(a, b) for a, b in ((first, start), (end, last)) if b - a >= least]
        self.starts[place : place + 1] = [a for a, _ in left]
        self.ends[place : place + 1] = [b for _, b in left]


def schedule(pieces, ranks, time, unlimited=False):
    """Place all pieces.

    pieces: Piece, in any order. ranks: {job: sort key, the smaller first}. time: WorkingTime. unlimited: nobody
    waits for a person (time then has one row, the workshop's own hours). Raises network.Circle.
    """
    pieces = {piece.key: piece for piece in pieces}
    follows = {key: [k for k in piece.after if k in pieces] for key, piece in pieces.items()}
    leads = _leads(follows)
    line = _line(follows, leads)
    work = {key: slots_of(expected(p.low, p.likely, p.high)) for key, p in pieces.items()}
    slack = _slack(line, follows, leads, work, pieces)
    place = {key: number for number, key in enumerate(line)}
    keys = {key: (ranks[pieces[key].job], slack[key], place[key], key) for key in line}
    people = [Person(time, row) for row in range(1 if unlimited else len(time.done))]
    found = Schedule(time, follows=follows, leads=leads, people=people)
    waiting = {key: len(befores) for key, befores in follows.items()}
    free = [keys[key] for key, count in waiting.items() if not count]
    heapify(free)
    least = min((count for count in work.values() if count), default=1)
    while free:
        key = heappop(free)[-1]
        found.placed[key] = _put(pieces[key], work[key], follows[key], found, people, unlimited, least)
        for after in leads[key]:
            waiting[after] -= 1
            if not waiting[after]:
                heappush(free, keys[after])
    before_me = _neighbours(found)
    _bind(found, follows, before_me)
    _backward(found, leads, {before: after for after, before in before_me.items()})
    return found


def _line(follows, leads):
    """All tasks with predecessors first; network.in_order, which names a circle, is the slower way."""
    waiting = {key: len(befores) for key, befores in follows.items()}
    line = [key for key, count in waiting.items() if not count]
    for key in line:
        for after in leads[key]:
            waiting[after] -= 1
            if not waiting[after]:
                line.append(after)
    return line if len(line) == len(follows) else network.in_order(follows)


def _leads(follows):
    leads = {key: [] for key in follows}
    for after, befores in follows.items():
        for before in befores:
            leads[before].append(after)
    return leads


def _slack(line, follows, leads, work, pieces):
    """Each task's float in its own job by the critical-path method, in slots."""
    end, longest = {}, {}
    for key in line:
        start, job = 0, pieces[key].job
        for before in follows[key]:
            start = max(start, end[before])
        end[key] = start + work[key]
        longest[job] = max(longest.get(job, 0), end[key])
    begin, slack = {}, {}
    for key in reversed(line):
        late = longest[pieces[key].job]
        for after in leads[key]:
            late = min(late, begin[after])
        begin[key], slack[key] = late - work[key], late - end[key]
    return slack


def _put(piece, work, befores, found, people, unlimited, least):
    ready = 0
    for before in befores:
        ready = max(ready, found.placed[before].end)
    release = found.time.moment(piece.release) if piece.arrivals else 0
    ready = max(ready, release)
    if not work:
        return Placed(piece, 0, ready, ready, None, release)
    who, start, end, stretch = place_earliest(people, ready, work)
    if not unlimited:
        people[who].take(start, end, stretch, least)
    return Placed(piece, work, start, end, None if unlimited else who, release)


def place_earliest(people, ready, work):
    """(person, start, end, stretch) of the earliest end; of people who would end together, who idles least before."""
    best = None
    for who, person in enumerate(people):
        end, start, stretch = person.fit(ready, work)
        idle = start - (0 if stretch is None else person.starts[stretch])
        if best is None or (end, idle) < best[:2]:
            best = end, idle, who, start, stretch
            if end == ready + work and not idle:
                break  # nobody can be earlier
    end, _idle, who, start, stretch = best
    return who, start, end, stretch


def _bind(found, follows, before_me):
    """What holds each task: its latest predecessor, its part, or the work its person does just before."""
    placed = found.placed
    for key, one in placed.items():
        end, cause = 0, None
        for before in follows[key]:
            if placed[before].end > end:
                end, cause = placed[before].end, before
        mine = before_me.get(key)
        if mine is not None and placed[mine].end > end:
            end, cause = placed[mine].end, mine
        # A part says more than work that happens to end at the same moment.
        if one.piece.arrivals and one.release >= end:
            end, cause = one.release, PART
        one.bound = cause if end and found.meets(end, one) else None


def _neighbours(found):
    """{task: the task its person does before it}."""
    rows = {}
    for key, one in found.placed.items():
        if one.person is not None:
            rows.setdefault(one.person, []).append((one.start, key))
    befores = {}
    for row in rows.values():
        row.sort(key=lambda pair: pair[0])
        befores.update({after[1]: before[1] for before, after in pairwise(row)})
    return befores


def _backward(found, leads, next_of):
    """Latest starts and ends that leave every job's last day where it is."""
    time, ends = found.time, {job: one.end for job, one in found.last_of.items()}
    # Of tasks without work at one moment, the later placed first.
    line = sorted((one.end, one.start, number, one) for number, one in enumerate(found.placed.values()))
    placed = found.placed
    for _end, _start, _number, one in reversed(line):
        key = one.piece.key
        limit = time.last if leads[key] else ends[one.piece.job]
        for after in leads[key]:
            limit = min(limit, placed[after].late_start)
        if key in next_of:
            limit = min(limit, placed[next_of[key]].late_start)
        one.late_end = limit
        done, ends_at = time.of_person(one.person or 0)
        kept = done[one.late_end] - one.work
        one.late_start = one.late_end if not one.work else ends_at[kept + 1] - 1 if kept >= 0 else one.start
