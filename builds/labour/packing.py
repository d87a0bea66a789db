"""An outlook as JSON and back. Pure."""

from datetime import date, timedelta
from decimal import Decimal
from functools import lru_cache

from .forecast import Forecast, Planned
from .outlook import Outlook, Tally
from .waiting import Claim, Missing, TaskState


def packed(outlook):
    """An Outlook as plain lists and texts, without its job."""
    missing = {id(part): number for number, part in enumerate(outlook.missing)}
    shown = [*outlook.open] if outlook.next in outlook.open or outlook.next is None else [*outlook.open, outlook.next]
    return {
        "tally": outlook.tally,
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
        job, Tally(*said["tally"]), Forecast(**{n: _READ[n](v) for n, v in said["forecast"].items()}),
        missing, tuple(states[: said["open"]]), None if said["next"] is None else states[said["next"]],
        said["plan"], said["spec"],
    )  # fmt: skip


def unpacked_steps(said, today):
    """{task id: Planned} of what Forecast.steps holds, counted from `today`."""
    return {
        task: Planned(*(today + timedelta(days=day) for day in days), is_critical) for task, *days, is_critical in said
    }


_READ = {
    **dict.fromkeys(("day", "half", "most", "due", "without"), lambda day: _day(day)),
    **dict.fromkeys(("driver", "role", "lead_days", "whose", "hours_left", "weekly_hours"), lambda value: value),
    "undated": tuple,
}


def _text(value):
    """As JSON holds it."""
    if isinstance(value, date):
        return value.isoformat()
    return str(value) if isinstance(value, Decimal) else value


def _part(part):
    claim = part.claim
    return [
        *claim[:4], str(claim.quantity), claim.client_supplied, claim.lead_days, str(part.quantity),
        part.due and part.due.isoformat(), part.ordered,
    ]  # fmt: skip


def _missing(row):
    role, name, part, called, wanted, by_client, lead_days, quantity, due, ordered = row
    claim = Claim(role, name, part, called, _number(wanted), by_client, lead_days)
    return Missing(claim, _number(quantity), due and _day(due), ordered)


# A board reads thousands of them, and they say the same few things.
_number, _day = lru_cache(maxsize=512)(Decimal), lru_cache(maxsize=512)(date.fromisoformat)


def _state(state, missing):
    """What is shown of a state; parts that only it misses (a done task's neighbour) are written out."""
    parts = [missing.get(id(part)) for part in state.missing]
    return [state.task, state.state, state.waits_for, [number for number in parts if number is not None]]


def _task_state(row, missing):
    from .models import Step

    task, state, waits_for, parts = row
    before = tuple(Step._make(one) for one in waits_for)
    return TaskState(Step._make(task), state, before, tuple(missing[number] for number in parts))
