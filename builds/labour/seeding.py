"""Plan patterns kept as data files."""

import json
from decimal import Decimal, InvalidOperation
from pathlib import Path

from django.conf import settings
from django.db import transaction
from django.utils.translation import gettext as _

from parts.kinds import all_kinds
from parts.workshop import audit
from parts.workshop.refusal import Refused

from . import network
from .patterns import GATES, PatternTask, PlanPattern, WorkKind

USUAL = Path(settings.BASE_DIR) / "fixtures" / "patterns" / "usual.json"


def usual_pattern(by=None):
    """The workshop's first pattern; an empty workshop gets the usual one."""
    return PlanPattern.objects.first() or load_pattern(USUAL, by)


@transaction.atomic
def load_pattern(path, by=None):
    """Read a pattern file and store what is missing of it; rates and hours a workshop changed stay.

    Raises Refused where the file does not make sense, saying where.
    """
    data = _read(path)
    kinds = {}
    for place, kind in enumerate(data["work_kinds"]):
        facts = {"rate": Decimal(kind["rate"]), "cost": Decimal(kind["cost"]), "position": place}
        kinds[kind["name"]] = WorkKind.objects.get_or_create(name=kind["name"], defaults=facts)[0]
    pattern, new = PlanPattern.objects.get_or_create(name=data["name"])
    steps, fresh = {}, []
    for place, task in enumerate(data["tasks"]):
        low, likely, high = (Decimal(hours) for hours in task["hours"])
        facts = {
            "work_kind": kinds[task["work"]], "position": place, "per": task.get("per", "job"),
            "hours_low": low, "hours_likely": likely, "hours_high": high,
            "needs_kinds": task.get("needs", []), "caution": task.get("caution", ""), "proves": task.get("proves", ""),
        }  # fmt: skip
        steps[task["name"]], made = PatternTask.objects.get_or_create(
            pattern=pattern, name=task["name"], defaults=facts
        )
        fresh += [task] if made else []
    for task in fresh:
        steps[task["name"]].after.set(steps[name] for name in task.get("after", []))
    if new or fresh:
        audit.record(by, "loaded", f"pattern {pattern}", after={"steps": len(fresh)})
    return pattern


def _read(path):
    try:
        data = json.loads(Path(path).read_text(encoding="utf-8"))
        problem = next(_problems(data), None)
    except (json.JSONDecodeError, KeyError, TypeError, ValueError, InvalidOperation, AttributeError) as error:
        problem = _("it cannot be read (%(error)s)") % {"error": error}
    if problem:
        raise Refused(_("Pattern file %(name)s: %(problem)s.") % {"name": Path(path).name, "problem": problem})
    return data


def _problems(data):
    """What is wrong with a pattern's data, in sentences; nothing for a sound one."""
    works = {kind["name"] for kind in data["work_kinds"] if Decimal(kind["rate"]) >= 0 and Decimal(kind["cost"]) >= 0}
    names = [task["name"] for task in data["tasks"]]
    pers, gates = dict(PatternTask.PER), {"", *dict(GATES)}
    for task in data["tasks"]:
        says = {"task": task["name"]}
        hours = [Decimal(text) for text in task["hours"]]
        if names.count(task["name"]) > 1:
            yield _("“%(task)s” stands twice") % says
        if task["work"] not in works:
            yield _("“%(task)s” names a kind of work that the file does not list") % says
        if task.get("per", "job") not in pers:
            yield _("“%(task)s” counts by something unknown; use one of %(pers)s") % {**says, "pers": ", ".join(pers)}
        if len(hours) != 3 or not Decimal(0) <= hours[0] <= hours[1] <= hours[2]:
            yield _("“%(task)s” needs three hours, low ≤ likely ≤ high") % says
        if not set(task.get("needs", [])) <= all_kinds().keys():
            yield _("“%(task)s” needs a kind of part that does not exist") % says
        if task.get("proves", "") not in gates:
            yield _("“%(task)s” names an unknown gate") % says
        if not set(task.get("after", [])) <= set(names):
            yield _("“%(task)s” follows a task that is not in the file") % says
    try:
        network.in_order({task["name"]: task.get("after", []) for task in data["tasks"]})
    except network.Circle as circle:
        yield _("its tasks go in a circle: %(path)s") % {"path": circle}
