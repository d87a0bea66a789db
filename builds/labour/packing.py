"""An outlook as JSON and back. Pure."""

from datetime import date, datetime, timedelta
from decimal import Decimal

from .forecast import Forecast, Planned
from .outlook import Outlook, Tally
from .waiting import Claim, Missing, TaskState


def packed(outlook):
    """An Outlook as plain lists and texts, without its job."""
    missing = {id(part): number for number, part in enumerate(outlook.missing)}
    shown = [*outlook.open] if outlook.next in outlook.open or outlook.next is None else [*outlook.open, outlook.next]
    return {
        "tally": [str(outlook.tally.quoted), str(outlook.tally.logged), str(outlook.tally.left)],
        "forecast": {
            name: _text(value)
            for name, value in vars(outlook.forecast).items()
            if name in _READ and value not in (None, "", ())
        },
        "missing": [_part(part) for part in outlook.missing],
        "states": [_state(state, missing) for state in shown],
        "open": len(outlook.open),
        "next": shown.index(outlook.next) if outlook.next else None,
        "plan": outlook.has_plan,
        "spec": outlook.has_spec,
    }


def unpacked(said, job):
    """The Outlook of a job from what `packed` made."""
    missing = tuple(_missing(row) for row in said["missing"])
    states = [_task_state(row, missing) for row in said["states"]]
    return Outlook(
        job, Tally(*map(Decimal, said["tally"])), Forecast(**{n: _READ[n](v) for n, v in said["forecast"].items()}),
        missing, tuple(states[: said["open"]]), None if said["next"] is None else states[said["next"]],
        said["plan"], said["spec"],
    )  # fmt: skip


def packed_steps(forecast):
    """When each open task is planned, by its id."""
    return {str(step.task): [_text(value) for value in step[1:]] for step in forecast.steps}


def unpacked_steps(said):
    """{task id: Planned}."""
    return {
        int(pk): Planned(int(pk), *(date.fromisoformat(day) for day in days), is_critical)
        for pk, (*days, is_critical) in said.items()
    }


_READ = {
    **dict.fromkeys(("day", "half", "most", "due", "without"), date.fromisoformat),
    **dict.fromkeys(("hours_left", "weekly_hours"), Decimal),
    **dict.fromkeys(("driver", "role", "lead_days", "whose"), lambda value: value),
    "undated": tuple,
}


def _text(value):
    """As JSON holds it."""
    if isinstance(value, date | datetime):
        return value.isoformat()
    if isinstance(value, timedelta):
        return value.total_seconds()
    return str(value) if isinstance(value, Decimal) else value


def _part(part):
    return [*map(_text, part.claim), _text(part.quantity), _text(part.due), part.ordered]


def _missing(row):
    *claim, quantity, due, ordered = row
    claim[4] = Decimal(claim[4])
    return Missing(Claim(*claim), Decimal(quantity), date.fromisoformat(due) if due else None, ordered)


def _state(state, missing):
    """What is shown of a state; parts that only it misses (a done task's neighbour) are written out."""
    parts = [missing.get(id(part)) for part in state.missing]
    return [
        [*map(_text, state.task)], state.state, [[*map(_text, task)] for task in state.waits_for],
        [number for number in parts if number is not None],
    ]  # fmt: skip


def _task_state(row, missing):
    task, state, waits_for, parts = row
    return TaskState(_step(task), state, tuple(map(_step, waits_for)), tuple(missing[number] for number in parts))


def _step(row):
    from .models import Step

    step = Step._make(row)
    return step._replace(
        hours_low=Decimal(step.hours_low), hours_likely=Decimal(step.hours_likely), hours_high=Decimal(step.hours_high),
        quoted_hours=None if step.quoted_hours is None else Decimal(step.quoted_hours),
        done_at=datetime.fromisoformat(step.done_at) if step.done_at else None,
        logged_time=timedelta(seconds=step.logged_time),
    )  # fmt: skip
