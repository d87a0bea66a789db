"""What changed between two spec versions: lines, loops with their runs, cables. Pure, on versions fetched whole."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from thermal.units import symbol

from .cable_forms import CONNECTORS
from .loops import POINTS
from .runs import around

# What is told of each: its field, and the unit of its number. Names of the fields are the models' own.
LOOP = {
    "tube_length_mm": "mm", "fitting_loss": "", "case_heat_w": "W", "case_air_flow_m3h": "m3/h", "altitude_m": "m",
    "air_ml": "mL", "breather": "",
}  # fmt: skip
STEP = {
    "speed": "%", "cools": "", "fans": "", "fan_count": "", "layers": "", "place": "", "draws_from": "", "blows_to": "",
    "grille_loss": "", "gasket_mm": "mm", "ports_at": "", "screws": "", "screw_through": "", "screw_extra_mm": "mm",
    "retapped": "",
}  # fmt: skip
RUN = {"length_mm": "mm", "bends": "", "angles": "", "bulkheads": "", "from_port": "", "to_port": ""}
CABLE = {
    "supply": "", "supply_connector": "", "device": "", "device_connector": "", "awg": "", "colour": "",
    "routed_mm": "mm", "bend_mm": "mm", "sense_w": "W",
}  # fmt: skip


@dataclass(frozen=True)
class Change:
    """role: its name; kind: added, removed or changed; was, now: what the line said, empty where there is none."""

    role: str
    kind: str
    was: str = ""
    now: str = ""


def compared(old, new):
    """[(heading, [Change])] from one version to another, both fetched with everything; only what has changes."""
    lines = difference(list(old.lines.all()), list(new.lines.all()))
    loops = [
        *loop_changes(old, new), *_rows(_loops(old), _loops(new), LOOP), *point_changes(old, new),
        *_rows(_steps(old), _steps(new), STEP),
    ]  # fmt: skip
    runs, cables = _rows(_runs(old), _runs(new), RUN), _rows(_cables(old), _cables(new), CABLE)
    groups = [(_("Parts"), lines), (_("Loops"), loops), (_("Tube runs"), runs), (_("Cables"), cables)]
    return [(heading, changes) for heading, changes in groups if changes]


def difference(old, new):
    """The Changes from one version's lines to another's; both are lists of SpecLine with role and part."""
    before, after = ({line.role_id: line for line in lines} for lines in (old, new))
    changes = []
    for role in dict.fromkeys([*before, *after]):
        was, now = before.get(role), after.get(role)
        name = (now or was).role.name
        if was is None:
            changes.append(Change(name, "added", now=said(now)))
        elif now is None:
            changes.append(Change(name, "removed", was=said(was)))
        elif said(was) != said(now):
            changes.append(Change(name, "changed", said(was), said(now)))
    return changes


def said(line):
    """A line in words.

    >>> from types import SimpleNamespace as Line
    >>> said(Line(part="tube, 10/13", quantity=2.5, client_supplied=False, remark="clear", fed_from=None, feeds=None))
    '2.5 × tube, 10/13 (clear)'
    """
    words = [line.remark] if line.remark else []
    words += [_("the client supplies it")] if line.client_supplied else []
    if line.fed_from:
        words.append(_("fed from %(role)s, outputs: %(n)d") % {"role": line.fed_from.name, "n": line.outlets})
    if line.feeds:
        words.append(_("leads to %(role)s") % {"role": line.feeds.name})
    return f"{float(line.quantity):g} × {line.part}" + (f" ({'; '.join(words)})" if words else "")


def orders_of(spec):
    """{loop: its order in words} of a version whose steps are fetched."""
    return {loop.name: " → ".join(step.line.role.name for step in loop.steps.all()) for loop in spec.loops.all()}


def loop_changes(old, new):
    """The Changes in the order of loops between two versions fetched with everything."""
    before, after = orders_of(old), orders_of(new)
    return [
        Change(name, "changed" if name in before and name in after else "added" if name in after else "removed",
               before.get(name, ""), after.get(name, ""))
        for name in dict.fromkeys([*before, *after])
        if before.get(name) != after.get(name)
    ]  # fmt: skip


def points_of(spec):
    """{loop: {point of its filling: role}} of a version whose steps are fetched."""
    return {loop.name: {str(label): step.line.role.name for name, label in POINTS.items() for step in loop.steps.all()
                        if step.pk == getattr(loop, f"{name}_id")} for loop in spec.loops.all()}  # fmt: skip


def point_changes(old, new):
    """The Changes in where loops are highest, lowest, filled and drained; of those in both versions."""
    before, after = points_of(old), points_of(new)
    changes = []
    for name in [name for name in before if name in after]:
        labels = [
            label for label in {**before[name], **after[name]} if before[name].get(label) != after[name].get(label)
        ]
        was, now = ("; ".join(f"{label}: {points[name].get(label, '–')}" for label in labels)
                    for points in (before, after))  # fmt: skip
        changes += [Change(name, "changed", was, now)] if labels else []
    return changes


def _loops(spec):
    """{key: (name, row, told alone)}; a loop or a step that came or went stands in the order already."""
    return {loop.name: (loop.name, loop, False) for loop in spec.loops.all()}


def _steps(spec):
    steps = [step for loop in spec.loops.all() for step in loop.steps.all()]
    return {step.line.role_id: (step.line.role.name, step, False) for step in steps}


def _runs(spec):
    """Runs between neighbours; one that no longer joins neighbours counts for nothing."""
    found = {}
    for loop in spec.loops.all():
        known = {(run.from_step_id, run.to_step_id): run for run in loop.runs.all()}
        for start, end in around(list(loop.steps.all())):
            if run := known.get((start.pk, end.pk)):
                found[start.line.role_id, end.line.role_id] = (str(run), run, True)
    return found


def _cables(spec):
    return {cable.name.casefold(): (cable.name, cable, True) for cable in spec.cables.all()}


def _rows(before, after, fields):
    """The Changes between rows of one sort.

    before, after: {key: (name, row, whether it is told when only one of the two has it)}. fields: as above.
    """
    changes = []
    for key in dict.fromkeys([*before, *after]):
        (name, was, alone), now = before.get(key, ("", None, False)), after.get(key)
        if now is None:
            changes += [Change(name, "removed", was=_words(was, fields))] if alone else []
        elif was is None:
            changes += [Change(now[0], "added", now=_words(now[1], fields))] if now[2] else []
        elif any(told := _told_apart(was, now[1], fields)):
            changes.append(Change(now[0], "changed", *told))
    return changes


def _told_apart(was, now, fields):
    """(what was, what is) of the fields that differ."""
    differing = {name: unit for name, unit in fields.items() if _shown(was, name, unit) != _shown(now, name, unit)}
    return _words(was, differing, empty=True), _words(now, differing, empty=True)


def _words(row, fields, empty=False):
    """Fields of a row in words; those that say nothing only where `empty` is asked for."""
    told = [name for name in fields if empty or getattr(row, name)]
    return "; ".join(
        f"{row._meta.get_field(name).verbose_name}: {_shown(row, name, fields[name]) or '–'}" for name in told
    )


def _shown(row, name, unit):
    """One field as text, "" for nothing."""
    value = getattr(row, name)
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if name.endswith("connector"):
        return str(dict(CONNECTORS).get(value, value))
    if isinstance(value, int | float):
        return f"{value * 100:g} %" if unit == "%" else f"{value:g} {symbol(unit)}".strip()
    choices = row._meta.get_field(name).flatchoices
    return str(dict(choices).get(value, value) if choices else value or "")
