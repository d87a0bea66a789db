"""The outlooks of all live jobs, which share the workshop's people: kept until something changes."""

from dataclasses import replace

from django.utils import timezone

from builds.jobs.models import Job
from parts.workshop.models import Workshop

from .bench_time import axis
from .foretelling import Shop, foretell
from .gathered import late_by_supplier, suppliers_of_parts
from .kept import KeptForecast, plan_mark
from .outlook import Outlook, job_tally, next_of
from .packing import packed, unpacked, unpacked_steps
from .readiness import benches
from .waiting import READY, RUNNING


def outlooks(jobs, workshop=None):
    """{job id: Outlook} for live jobs (a list): as kept, in two queries, or made anew for all live jobs."""
    today, mark = timezone.localdate(), plan_mark()
    kept = KeptForecast.at(mark, today)
    if kept is None or not all(str(job.pk) in kept.rows for job in jobs):
        made = timezone.now()
        everyone = list(Job.objects.live())
        known = {job.pk for job in everyone}
        found = _made(everyone + [job for job in jobs if job.pk not in known], workshop or Workshop.current(), today)
        rows = {str(pk): packed(one) for pk, one in found.items()}
        plans = {str(pk): one.forecast.steps for pk, one in found.items()}
        KeptForecast.keep(mark=mark, day=today, made=made, rows=rows, plans=plans)
        return {job.pk: replace(found[job.pk], job=job) for job in jobs}
    age = kept.age
    return {job.pk: unpacked(kept.rows[str(job.pk)], job).at(age) for job in jobs}


def planned_steps(job):
    """{task id: forecast.Planned} of a live job's open tasks, as kept; one query, after `outlooks`."""
    plans, day = KeptForecast.objects.filter(pk=1).values_list("plans", "day").first() or ({}, None)
    return unpacked_steps(plans.get(str(job.pk), ()), day)


def _made(jobs, workshop, today, spec=None, more=None):
    """{job id: Outlook} of all live jobs. spec: look at this version of its job's spec instead of the valid one.

    more: {job id: hours} on top.
    """
    seen = benches(jobs, spec=spec)
    weeks, time = axis(workshop, today)
    hands = [sum(week) for week in weeks if any(week)]
    shop = Shop(today, sum(hands), min(hands), time, suppliers_of_parts(), late_by_supplier())
    told = foretell(jobs, seen, shop, more or {})
    return {job.pk: _outlook(job, seen[job.pk], told[job.pk]) for job in jobs}


def _outlook(job, bench, told):
    states = bench.states
    return Outlook(
        job, job_tally(states), told, bench.missing,
        tuple(state for state in states if state.state in (RUNNING, READY)), next_of(states),
        bool(states), bench.has_spec,
    )  # fmt: skip


def suggested_promise(job, spec, more=0, workshop=None):
    """Forecast for a spec version not yet agreed, among all other live work; `most` is the day a quote can promise.

    more: hours of work that the plan does not hold yet, done last.
    """
    jobs = [one for one in Job.objects.live() if one.pk != job.pk] + [job]
    found = _made(jobs, workshop or Workshop.current(), timezone.localdate(), spec, {job.pk: float(more)})
    return found[job.pk].forecast
