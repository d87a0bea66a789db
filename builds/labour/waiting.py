"""Who waits for what: parts given out by need, and the state of every task. Pure, on plain values."""

from collections import defaultdict
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

DONE, RUNNING, READY, WAITS_FOR_TASK, WAITS_FOR_PART = "done", "running", "ready", "waits for task", "waits for part"


class Claim(NamedTuple):
    """A role's wish for a part: so much of it, for the tasks that need the role.

    lead_days: of the cheapest supplier, None when nobody offers the part.
    """

    role_id: int
    role: str
    part_id: int
    part: str
    quantity: Decimal
    client_supplied: bool = False
    lead_days: int | None = None


class Missing(NamedTuple):
    """A role whose part is not all in the tray. quantity: how much is missing.

    due: when the last of it is expected, None when not all of it is on order (ordered is False then).
    """

    claim: Claim
    quantity: Decimal
    due: date | None = None
    ordered: bool = False

    @property
    def role(self):
        return self.claim.role

    def is_late(self, today):
        return self.due is not None and self.due < today


class TaskState(NamedTuple):
    """A task (a models.Step) with its state, the tasks it waits for and what is missing on the bench for it.

    A task that waits for tasks may miss parts as well: `missing` is filled in either case.
    """

    task: Any
    state: str
    waits_for: tuple = ()
    missing: tuple[Missing, ...] = ()


def allot(claims, stock, coming):
    """What each role misses, when parts are given out in the order of the claims.

    claims: Claim in order of need. stock: {part id: quantity in the tray}. coming: {part id: [(due, quantity)]},
    due None for an order without a date. Returns {role id: Missing} of the roles not covered.
    """
    left = defaultdict(Decimal, stock)
    on_the_way = {part: sorted(rows, key=lambda row: row[0] or date.max) for part, rows in coming.items()}
    found = {}
    for claim in claims:
        taken = min(claim.quantity, left[claim.part_id])
        left[claim.part_id] -= taken
        lacking = claim.quantity - taken
        if lacking > 0:
            due, ordered = _await(on_the_way.get(claim.part_id, []), lacking)
            found[claim.role_id] = Missing(claim, lacking, due, ordered)
    return found


def _await(rows, quantity):
    """Take a quantity out of the arrivals to come: the date of the last one needed, and whether it suffices."""
    due = None
    while quantity > 0 and rows:
        when, much = rows[0]
        taken = min(much, quantity)
        quantity -= taken
        due = when
        if taken == much:
            rows.pop(0)
        else:
            rows[0] = (when, much - taken)
    return (due, True) if quantity <= 0 else (None, False)


def judge(tasks, follows, needs, missing):
    """The state of each task of one job, in the order given.

    tasks: objects with pk, is_done, running. follows: {task id: ids before it}. needs: {task id: role ids}.
    missing: {role id: Missing}.
    """
    by_id = {task.pk: task for task in tasks}
    found = []
    for task in tasks:
        if task.is_done:
            found.append(TaskState(task, DONE))
            continue
        before, lacking = follows.get(task.pk, ()), needs.get(task.pk, ())
        if before:
            before = tuple([by_id[pk] for pk in before if pk in by_id and not by_id[pk].is_done])
        if lacking:
            lacking = tuple([missing[role] for role in lacking if role in missing])
        state = WAITS_FOR_TASK if before else WAITS_FOR_PART if lacking else READY
        found.append(TaskState(task, RUNNING if task.running else state, before, lacking))
    return found


def in_order_of_need(claims, tasks, needs):
    """Claims sorted by the first task that needs each: done tasks hold theirs, then the plan's order, then the rest."""
    first = {}
    for rank, task in enumerate(sorted(tasks, key=lambda task: not task.is_done)):
        for role in needs.get(task.pk, ()):
            first.setdefault(role, rank)
    return sorted(claims, key=lambda claim: first.get(claim.role_id, len(tasks)))


def still_open(missing, tasks, needs):
    """What a job still waits for: a part whose tasks are all done is in the machine, booked or not.

    missing: {role id: Missing}. Parts that no task needs are waited for as well.
    """
    done, open_ = set(), set()
    for task in tasks:
        (done if task.is_done else open_).update(needs.get(task.pk, ()))
    return tuple(part for role, part in missing.items() if role in open_ or role not in done)
