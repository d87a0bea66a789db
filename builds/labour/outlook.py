"""A job's outlook: its next steps, its hours, its forecast. Pure."""

from dataclasses import dataclass, replace
from datetime import timedelta
from decimal import Decimal

from .forecast import Forecast, days_in_hand
from .hours import in_hours
from .waiting import DONE, READY, RUNNING, WAITS_FOR_PART, Missing, TaskState

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
    """What the board, today and the job's head say of a job.

    open: the states of its tasks that run or are ready. next: the one to look at, or None when all is done.
    """

    job: object
    tally: Tally
    forecast: Forecast
    missing: tuple[Missing, ...]
    open: tuple[TaskState, ...]
    next: TaskState | None
    has_plan: bool
    has_spec: bool

    @property
    def ready(self):
        return [state for state in self.open if state.state == READY]

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

    def at(self, age):
        """The same a while later: running clocks went on."""
        running = sum(1 for state in self.open if state.task.running)
        if not running or age < timedelta(minutes=1):
            return self
        more = in_hours(age) * running
        return replace(self, tally=Tally(
            self.tally.quoted, self.tally.logged + more, max(self.tally.left - more, Decimal(0))
        ))  # fmt: skip


def next_of(states):
    """The step to look at: what runs, else what is ready, else what waits for a part; None when all is done."""
    for wanted in NEXT:
        found = next((state for state in states if state.state == wanted), None)
        if found:
            return found
    return next((state for state in states if state.state != DONE), None)


def job_tally(states):
    tasks = [state.task for state in states]
    is_agreed = any(task.quoted_hours is not None for task in tasks)
    return sum((tally_of(task, is_agreed) for task in tasks), Tally())
