"""The forecast of all live jobs together: their plans made into pieces of work, and what the schedule says of each."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np

from builds.jobs.models import Stage

from .forecast import HOURS, NOTHING, OVERDUE, Forecast, arrival
from .outlook import hours_left
from .sampling import quantile_days, samples
from .schedule import PART, Piece, expected, schedule
from .waiting import DONE
from .whatif import end_without

NOT_AGREED = (Stage.ENQUIRY, Stage.QUOTED)
FAR = date.max.toordinal()


@dataclass(frozen=True)
class Shop:
    """What all jobs share.

    weekly_hours: all hands together; hand_hours: of the one with the fewest. time: a function of the number of days
    that gives the WorkingTime. sources: {part id: supplier id}. late: {supplier id: days late of its deliveries}.
    """

    today: date
    weekly_hours: float
    hand_hours: float
    time: Callable
    sources: dict = field(default_factory=dict)
    late: dict = field(default_factory=dict)


def rank(job):
    """Who has the bench first: agreed jobs, then those not agreed, then paused ones; in each by promise."""
    group = 2 if job.paused_because else 1 if job.stage in NOT_AGREED else 0
    return (group, job.promise.toordinal(), 0) if job.promise else (group, FAR, job.number)


def pieces_of(job, bench, shop):
    """A job's open tasks as Pieces; parts that no open task needs hold a piece without work."""
    found, rest = [], _dated(bench.missing, shop)
    dated = dict(rest)
    for task, state, waits_for, missing in bench.states:
        if state == DONE:
            continue
        likely = max(task.hours_likely - task.logged, 0.0)
        # A likely figure beyond its edges moves the edges.
        low, high = min(max(task.hours_low - task.logged, 0.0), likely), max(task.hours_high - task.logged, likely)
        arrivals = ()
        if missing:
            arrivals = tuple(dated[part.claim.role_id] for part in missing if part.claim.role_id in dated)
            for part in missing:
                rest.pop(part.claim.role_id, None)
        after = tuple([before.pk for before in waits_for]) if waits_for else ()
        found.append(Piece(task.pk, job.pk, low, likely, high, after, arrivals))
    if rest:
        found.append(Piece(("parts", job.pk), job.pk, 0, 0, 0, (), tuple(rest.values())))
    return found


def _dated(missing, shop):
    """{role id: (day, source, part)} of the missing parts that somebody can give a day for."""
    found = {}
    for part in missing:
        known = arrival(shop.today, part)
        if known:
            found[part.claim.role_id] = known[0], shop.sources.get(part.claim.part_id), part
    return found


def foretell(jobs, benches, shop, more=None):
    """{job id: Forecast} of live jobs, that share the workshop's people.

    benches: {job id: readiness.Bench}. more: {job id: hours} that no task holds yet, done last.
    """
    pieces = [piece for job in jobs for piece in pieces_of(job, benches[job.pk], shop)]
    for job, hours in (more or {}).items():
        own = tuple(piece.key for piece in pieces if piece.job == job)
        pieces += [Piece(("more", job), job, hours, hours, hours, own)] if hours else []
    plan = schedule(pieces, {job.pk: rank(job) for job in jobs}, shop.time(horizon(pieces, shop)))
    odds = quantile_days(plan, samples(plan, shop.late))
    by_id, steps = {job.pk: job for job in jobs}, _steps(plan)
    return {job.pk: _forecast(job, benches[job.pk], plan, steps.get(job.pk, ()), odds, by_id, shop) for job in jobs}


def horizon(pieces, shop):
    """Days the axis has to hold: the last arrival, then half as much again as the work takes, then 150.

    A list schedule ends within all hands' time for all work and one hand's for the longest job (Graham 1969); what is
    on top is for days away, holidays, late parts, hours that run long and gaps that a sample forgets.
    """
    last = max((piece.release for piece in pieces if piece.arrivals), default=shop.today)
    longest, work = Counter(), 0.0
    for piece in pieces:
        longest[piece.job] += piece.high
        work += expected(piece.low, piece.likely, piece.high)
    weeks = work / shop.weekly_hours + max(longest.values(), default=0) / shop.hand_hours
    return min(max((last - shop.today).days, 0) + 150 + int(weeks * 7 * 1.5), 2600)


def _forecast(job, bench, plan, steps, odds, by_id, shop):
    left = sum(hours_left(state.task) for state in bench.states)
    undated = tuple(part.role for part in bench.missing if arrival(shop.today, part) is None)
    facts = {"hours_left": left, "weekly_hours": shop.weekly_hours, "undated": undated}
    last = plan.last_of.get(job.pk)
    if last is None:
        return Forecast(shop.today, NOTHING, **facts)
    half, most = (shop.today + timedelta(days=day) for day in odds[job.pk])
    facts |= {"half": half, "most": most} if last.work or last.start else {}
    root, own = plan.holding(job.pk)
    facts["steps"] = tuple((*step, step[0] in own) for step in steps)
    return Forecast(plan.time.day(last.until), **_driver(job, plan, root, by_id, shop), **facts)


def _steps(plan):
    """{job id: [(task id, start, end, latest end)]} with days counted from today; all days looked up at once."""
    ones = [one for one in plan.placed.values() if isinstance(one.piece.key, int)]
    moments = [(one.start + 1, one.until, one.late_end + (not one.work)) for one in ones]
    found = {}
    for one, days in zip(ones, plan.time.days(np.array(moments, int).reshape(-1, 3)).tolist(), strict=True):
        found.setdefault(one.piece.job, []).append((one.piece.key, *days))
    return found


def _driver(job, plan, root, by_id, shop):
    """What stands at the beginning of the job's critical chain: `root`."""
    last = plan.last_of[job.pk]
    owner = by_id[root.piece.job]
    whose = "" if owner.pk == job.pk else str(owner)
    part = max(root.piece.arrivals, key=lambda one: one[0])[2] if root.piece.arrivals else None
    if part and (root.bound == PART or root.start == 0):
        _day, driver = arrival(shop.today, part)
        without = None if whose or driver == OVERDUE else plan.time.day(end_without(plan, job.pk, part))
        return {
            "driver": driver, "role": part.role, "due": part.due, "lead_days": part.claim.lead_days,
            "whose": whose, "without": without,
        }  # fmt: skip
    return {"driver": HOURS if last.work or last.end else NOTHING, "whose": whose}
