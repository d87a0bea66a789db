"""A job's outlook: its tasks' states, its hours, its forecast; for many jobs in a constant number of queries."""

from dataclasses import dataclass
from decimal import Decimal

from django.utils import timezone

from parts.workshop.models import Workshop

from .forecast import Forecast, days_in_hand, forecast
from .hours import in_hours
from .readiness import Bench, benches
from .waiting import DONE, READY, RUNNING, WAITS_FOR_PART

NEXT = [RUNNING, READY, WAITS_FOR_PART]


@dataclass(frozen=True)
class Tally:
    """Hours of a task or a job: quoted (before acceptance the estimate), logged, and left of the estimate."""

    quoted: Decimal = Decimal(0)
    logged: Decimal = Decimal(0)
    left: Decimal = Decimal(0)

    def __add__(self, other):
        return Tally(self.quoted + other.quoted, self.logged + other.logged, self.left + other.left)

    @property
    def over(self):
        return self.quoted and self.logged > self.quoted


def tally_of(task, is_agreed):
    """A task's hours; on an agreed job a task that was never quoted counts nothing as quoted."""
    logged = in_hours(task.logged_time)
    planned = task.quoted_hours if task.quoted_hours is not None else (Decimal(0) if is_agreed else task.hours_likely)
    left = Decimal(0) if task.is_done else max(task.hours_likely - logged, Decimal(0))
    return Tally(planned, logged, left)


@dataclass(frozen=True)
class Outlook:
    """What the board, the job's head and the plan say of a job."""

    job: object
    bench: Bench
    tally: Tally
    forecast: Forecast

    @property
    def states(self):
        return self.bench.states

    @property
    def missing(self):
        return self.bench.missing

    @property
    def ready(self):
        return [state for state in self.states if state.state == READY]

    @property
    def next(self):
        """The step to look at: what runs, else what is ready, else what waits for a part; None when all is done."""
        for wanted in NEXT:
            found = next((state for state in self.states if state.state == wanted), None)
            if found:
                return found
        return next((state for state in self.states if state.state != DONE), None)

    @property
    def in_hand(self):
        """Days between forecast and promise, negative when late; None without a promise."""
        return days_in_hand(self.job.promise, self.forecast.day)

    @property
    def danger(self):
        """Sort key: what endangers a promise comes first, then jobs without one by their forecast."""
        undated = bool(self.forecast.undated)
        if self.in_hand is None:
            return (1, not undated, self.forecast.day.toordinal(), self.job.number)
        return (0, self.in_hand, not undated, self.job.number)


def job_tally(bench):
    tasks = [state.task for state in bench.states]
    is_agreed = any(task.quoted_hours is not None for task in tasks)
    return sum((tally_of(task, is_agreed) for task in tasks), Tally())


def outlooks(jobs, today=None, weekly_hours=None, spec=None):
    """{job id: Outlook} for jobs (a list), in five queries, and one for the workshop unless weekly_hours is given.

    spec: look at this version of a single job's spec instead of the agreed one.
    """
    today = today or timezone.localdate()
    weekly_hours = weekly_hours or Workshop.current().weekly_hours
    found = {}
    for pk, bench in benches(jobs, spec=spec).items():
        tally = job_tally(bench)
        found[pk] = (bench, tally, forecast(today, tally.left, weekly_hours, bench.missing))
    return {job.pk: Outlook(job, *found[job.pk]) for job in jobs}


def suggested_promise(job, spec, today=None):
    """Forecast for a spec version not yet agreed: the day a quote of it can promise, and why."""
    return outlooks([job], today, spec=spec)[job.pk].forecast
