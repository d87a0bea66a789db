"""What can be done now: the state of every task of many jobs, from what is done and what lies in their trays."""

from dataclasses import dataclass

from .gathered import rows_of, valid_specs
from .waiting import Missing, TaskState, allot, in_order_of_need, judge, still_open


@dataclass(frozen=True)
class Bench:
    """A job's plan with its states, and everything its spec still misses, needed by a task or not."""

    states: tuple[TaskState, ...]
    missing: tuple[Missing, ...]
    has_spec: bool


def benches(jobs, now=None, spec=None):
    """{job id: Bench} for jobs (a list), in six queries whatever their number.

    spec: look at this version of its job's spec instead of the one that counts; one more query.
    """
    rows = rows_of(jobs, now, _specs(jobs, spec))
    found = {}
    for job in jobs:
        tasks = rows.tasks[job.pk]
        claims = in_order_of_need(rows.claims[job.pk], tasks, rows.needs)
        missing = allot(claims, rows.stock[job.tray_id], rows.coming[job.tray_id])
        states = judge(tasks, rows.follows, rows.needs, missing)
        found[job.pk] = Bench(tuple(states), still_open(missing, tasks, rows.needs), bool(claims))
    return found


def _specs(jobs, spec):
    if spec is None:
        return None
    others = valid_specs([job.pk for job in jobs if job.pk != spec.job_id])
    return [spec.pk, *(row["spec"] for row in others)]


def task_states(jobs, now=None):
    """{job id: [TaskState] in the plan's order} for any number of jobs (a list or queryset), in six queries.

    Parts are asked for by the roles of the agreed spec version, or before agreement of the newest.
    """
    return {pk: list(bench.states) for pk, bench in benches(list(jobs), now).items()}
