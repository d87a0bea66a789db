"""What the plan, the clock and the list of hours show: ready strings made from states. Pure."""

from dataclasses import dataclass
from datetime import timedelta
from itertools import groupby

from django.utils import timezone
from django.utils.dateparse import parse_datetime
from django.utils.formats import date_format, number_format
from django.utils.translation import gettext as _

from builds.plots.measure import measure

from .days import said, short
from .durations import clock_text
from .outlook import Tally, tally_of
from .waiting import DONE, READY, RUNNING


def hours_text(hours):
    """Hours to a tenth, without a trailing zero: "12.5"."""
    return number_format(f"{hours:.1f}".removesuffix(".0"))


def left_text(hours):
    """What is left of an estimate."""
    return _("%(left)s h left") % {"left": hours_text(hours)} if hours else _("no hours left")


def tally_text(tally):
    """A tally's hours as ready strings."""
    return {name: hours_text(getattr(tally, name)) for name in ("quoted", "logged", "left")}


def missing_text(part, today):
    """What a missing part says: "pump, due Thu 3 Dec"."""
    facts = {"role": part.role, "due": said(part.due) if part.due else ""}
    if part.is_late(today):
        return _("%(role)s, was due %(due)s") % facts
    if part.due:
        return _("%(role)s, due %(due)s") % facts
    if part.ordered:
        return _("%(role)s, ordered without a date") % facts
    if part.claim.client_supplied:
        return _("%(role)s, the client brings it") % facts
    return _("%(role)s, not ordered") % facts


@dataclass(frozen=True)
class PlanRow:
    """One task of the plan's sheet, said."""

    task: object
    state: str
    word: str
    waits: str
    hours: str
    tally: Tally
    rule: str
    when: str
    basis: str
    is_done: bool
    can_start: bool
    runs_mine: bool


def plan_rows(states, running, planned, own):
    """The rows of a plan. running: the entry of the person's own clock, or None. planned: {task id: Planned}.

    own: {task id: number of own finished jobs its hours rest on}.
    """
    today = timezone.localdate()
    is_agreed = any(state.task.quoted_hours is not None for state in states)
    return [
        _plan_row(state, tally_of(state.task, is_agreed), running, today, planned.get(state.task.pk), own)
        for state in states
    ]


def _plan_row(state, tally, running, today, planned, own):
    mine = running is not None and running.task_id == state.task.pk
    text = _("%(logged)s of %(quoted)s h") % {
        "logged": hours_text(tally.logged), "quoted": hours_text(tally.quoted),
    }  # fmt: skip
    return PlanRow(
        task=state.task, state=state.state.replace(" ", "-"), word=state_word(state.state),
        waits=waits_text(state, today), hours=text, tally=tally, rule=measure(tally.logged, tally.quoted, text),
        when=when_text(planned) if planned else "", basis=basis_text(own.get(state.task.pk)),
        is_done=state.state == DONE, can_start=state.state != DONE and not mine, runs_mine=mine,
    )  # fmt: skip


def basis_text(jobs):
    """What a task's estimate rests on; empty for the pattern's figure and for what a person typed."""
    return _("estimate: own hours of %(jobs)s jobs") % {"jobs": jobs} if jobs else ""


def when_text(planned):
    """When a task is planned, and how long it may wait: "3 Dec – 4 Dec; holds the date"."""
    days = short(planned.start)
    if planned.end > planned.start:
        days = _("%(first)s – %(last)s") % {"first": days, "last": short(planned.end)}
    if planned.is_critical:
        return _("%(days)s; holds the date") % {"days": days}
    if planned.latest <= planned.end:
        return days
    return _("%(days)s; at the latest %(latest)s") % {"days": days, "latest": short(planned.latest)}


def state_word(state):
    words = {DONE: _("done"), RUNNING: _("clock runs"), READY: _("ready")}
    return words.get(state, _("waits"))


def waits_text(state, today):
    """What a task waits for, tasks first, then parts; empty when for nothing."""
    if state.state == DONE:
        return ""
    tasks = [_("“%(task)s”") % {"task": task.name} for task in state.waits_for]
    parts = [missing_text(part, today) for part in state.missing]
    return "; ".join([", ".join(tasks)] * bool(tasks) + parts)


def tasks_to_start(outlooks, running, recent):
    """Tasks a person can start now: what was worked on last comes first, then by the promise in danger.

    outlooks: of the live jobs. recent: ids of the tasks of the person's last entries, newest first.
    """
    found = []
    for outlook in sorted(outlooks, key=lambda one: one.danger):
        for state in outlook.open:
            mine = running is not None and running.task_id == state.task.pk
            if not mine:
                found.append(
                    {"task": state.task, "job": outlook.job, "left": left_text(tally_of(state.task, False).left)}
                )
    rank = {pk: number for number, pk in reversed(list(enumerate(recent)))}
    return sorted(found, key=lambda row: rank.get(row["task"].pk, len(recent)))


def day_sums(entries):
    """Entries by the day they began, newest first, with each day's time together: [(day, sum, entries)]."""
    found = []
    for day, group in groupby(entries, key=lambda entry: timezone.localtime(entry.started_at).date()):
        rows = list(group)
        found.append((day, clock_text(sum((row.length for row in rows), timedelta())), rows))
    return found


def history(entries):
    """What became of an hours entry: [{"at", "who", "verb", "changes": [(what, before, after)]}] of audit entries."""
    found = []
    for entry in entries:
        before, after = entry.before or {}, entry.after or {}
        names = [name for name in {**before, **after} if _plain(before.get(name)) != _plain(after.get(name))]
        changes = [(_(name), _plain(before.get(name)), _plain(after.get(name))) for name in names]
        found.append({"at": entry.at, "who": entry.person, "verb": _(entry.verb), "changes": changes})
    return found


def _plain(value):
    """A recorded value as a person reads it: moments in the workshop's time."""
    moment = parse_datetime(value) if isinstance(value, str) and "T" in value else None
    if moment:
        return date_format(timezone.localtime(moment), "D j M H:i")
    return "" if value is None else str(value)
