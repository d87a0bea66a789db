"""A job's outlook: its next steps, its hours, its forecast. Pure."""

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import NamedTuple

from .forecast import Forecast, days_in_hand
from .waiting import DONE, READY, RUNNING, WAITS_FOR_PART, Missing, TaskState

NEXT = [RUNNING, READY, WAITS_FOR_PART]


class Tally(NamedTuple):
    """Hours of a task or a job: quoted (before acceptance the estimate), logged, and left of the estimate."""

    quoted: float = 0.0
    logged: float = 0.0
    left: float = 0.0

    @property
    def over(self):
        return self.quoted and self.logged > self.quoted


def tally_of(task, is_agreed):
    """A task's hours; on an agreed job a task that was never quoted counts nothing as quoted."""
    planned = task.quoted_hours if task.quoted_hours is not None else 0.0 if is_agreed else task.hours_likely
    return Tally(planned, task.logged, hours_left(task))


def hours_left(task):
    """What is left of a task's likely hours."""
    return 0.0 if task.is_done else max(task.hours_likely - task.logged, 0.0)


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
        more = age.total_seconds() / 3600 * running
        tally = Tally(self.tally.quoted, self.tally.logged + more, max(self.tally.left - more, 0.0))
        return replace(self, tally=tally)


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
    tallies = [tally_of(task, is_agreed) for task in tasks]
    return Tally(*(sum(column) for column in zip(*tallies, strict=True))) if tallies else Tally()
