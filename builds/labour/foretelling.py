"""The forecast of all live jobs together: their plans made into pieces of work, and what the schedule says of each."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal

from builds.jobs.models import Stage

from .forecast import HOURS, NOTHING, OVERDUE, Forecast, Planned, arrival
from .hours import in_hours
from .sampling import quantile_days, samples
from .schedule import PART, Piece, schedule
from .waiting import DONE
from .whatif import end_without

NOT_AGREED = (Stage.ENQUIRY, Stage.QUOTED)
FAR = date.max.toordinal()


@dataclass(frozen=True)
class Shop:
    """What all jobs share.

    weekly_hours: all hands together, for the words; hand_hours: of one. time: a function of the number of days that
    gives the WorkingTime. sources: {part id: supplier id}. late: {supplier id: days late of its deliveries}.
    """

    today: date
    weekly_hours: Decimal
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
    found, held = [], set()
    for state in bench.states:
        if state.state == DONE:
            continue
        task, logged = state.task, in_hours(state.task.logged_time)
        left = [float(max(hours - logged, 0)) for hours in (task.hours_low, task.hours_likely, task.hours_high)]
        held.update(part.role for part in state.missing)
        after = tuple(before.pk for before in state.waits_for)
        # A likely figure beyond its edges moves the edges.
        left[0], left[2] = min(left[:2]), max(left[1:])
        found.append(Piece(task.pk, job.pk, *left, after, _arrivals(state.missing, shop)))
    rest = _arrivals([part for part in bench.missing if part.role not in held], shop)
    if rest:
        found.append(Piece(("parts", job.pk), job.pk, 0, 0, 0, (), rest))
    return found


def _arrivals(missing, shop):
    dated = [(arrival(shop.today, part), part) for part in missing]
    return tuple((known[0], shop.sources.get(part.claim.part_id), part) for known, part in dated if known)


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
    by_id, last = {job.pk: job for job in jobs}, plan.last_of
    return {job.pk: _forecast(job, benches[job.pk], plan, last.get(job.pk), odds, by_id, shop) for job in jobs}


def horizon(pieces, shop):
    """Days the axis has to hold: the last arrival, then all the work at its longest as if one hand did it."""
    last = max((piece.release for piece in pieces if piece.arrivals), default=shop.today)
    weeks = sum(piece.high for piece in pieces) / float(shop.hand_hours)
    return min(max((last - shop.today).days, 0) + 150 + int(weeks * 7), 2600)


def _forecast(job, bench, plan, last, odds, by_id, shop):
    left = sum((max(s.task.hours_likely - in_hours(s.task.logged_time), 0) for s in bench.states if s.state != DONE), 0)
    undated = tuple(part.role for part in bench.missing if arrival(shop.today, part) is None)
    facts = {"hours_left": left, "weekly_hours": shop.weekly_hours, "undated": undated}
    if last is None:
        return Forecast(shop.today, NOTHING, **facts)
    half, most = (shop.today + timedelta(days=day) for day in odds[job.pk])
    facts |= {"half": half, "most": most} if last.work or last.start else {}
    chain = plan.chain(job.pk)
    facts["steps"] = _steps(job, plan, chain)
    return Forecast(plan.time.day(last.until), **_driver(job, plan, chain, by_id, shop), **facts)


def _steps(job, plan, chain):
    chain, day = {one.piece.key for one in chain}, plan.time.day
    return tuple(
        Planned(
            one.piece.key, day(one.start, is_start=True), day(one.until),
            day(one.late_end if one.work else one.late_end + 1), one.piece.key in chain,
        )
        for one in plan.of_jobs[job.pk]
        if isinstance(one.piece.key, int)
    )  # fmt: skip


def _driver(job, plan, chain, by_id, shop):
    """What stands at the beginning of the job's critical chain."""
    root, last = chain[0], chain[-1]
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
