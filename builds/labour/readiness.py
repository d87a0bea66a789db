"""What can be done now: the state of every task of many jobs, from what is done and what lies in their trays."""

from dataclasses import dataclass

from .gathered import rows_of
from .waiting import Missing, TaskState, allot, in_order_of_need, judge, still_open


@dataclass(frozen=True)
class Bench:
    """A job's plan with its states, and everything its spec still misses, needed by a task or not."""

    states: tuple[TaskState, ...]
    missing: tuple[Missing, ...]
    has_spec: bool


def benches(jobs, now=None, spec=None):
    """{job id: Bench} for jobs (a list), in five queries whatever their number. spec: see outlook.outlooks."""
    rows = rows_of(jobs, now, [spec.pk] if spec else None)
    found = {}
    for job in jobs:
        tasks = rows.tasks[job.pk]
        claims = in_order_of_need(rows.claims[job.pk], tasks, rows.needs)
        missing = allot(claims, rows.stock[job.tray_id], rows.coming[job.tray_id])
        states = judge(tasks, rows.follows, rows.needs, missing)
        found[job.pk] = Bench(tuple(states), still_open(missing, tasks, rows.needs), bool(claims))
    return found


def task_states(jobs, now=None):
    """{job id: [TaskState] in the plan's order} for any number of jobs (a list or queryset), in five queries.

    Parts are asked for by the roles of the agreed spec version, or before agreement of the newest.
    """
    return {pk: list(bench.states) for pk, bench in benches(list(jobs), now).items()}
