"""What the loops take: tube, fittings, plugs, drain and coolant, counted from their runs and ports, with spares."""

from dataclasses import dataclass
from math import ceil, pi

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .facts import BLOCKS, PUMPS
from .rule import Rule
from .tube import holds_tube

RULE = Rule("take-off", _l("what the tubes take"), _l("geometry; spares are common practice"))
HOLDS_COOLANT = (*BLOCKS, *PUMPS, "radiator", "reservoir")
# Coolant is lost to bleeding and the first spill; common practice.
COOLANT_RESERVE = 1.15
USED_PORTS = 2


@dataclass(frozen=True)
class Item:
    """One line of the take-off. needed: counted; wanted: with spares; have: in the spec. roles: lines that hold it.

    kind: of the part that it is.
    """

    key: str
    label: str
    needed: float
    wanted: float
    have: float
    unit: str
    kind: str
    roles: tuple[str, ...] = ()

    @property
    def short(self):
        return max(0.0, round(self.wanted - self.have, 3))


def with_spares(count):
    """A count with its spares: one in eight, at least two; none of nothing.

    >>> [with_spares(n) for n in (0, 1, 8, 17, 40)]
    [0, 3, 10, 20, 45]
    """
    return count + max(2, ceil(count / 8)) if count else 0


def spare_length(metres):
    """A length of tube with an eighth for cuts and spoilt bends, in full tenths of a metre.

    >>> spare_length(2.0), spare_length(2.01)
    (2.3, 2.3)
    """
    return ceil(round(metres * 1.125 * 10, 6)) / 10


def tube_volume_ml(length_mm, bore_mm):
    """Coolant in a tube, mL.

    >>> round(tube_volume_ml(1000, 10), 2)
    78.54
    """
    return pi / 4 * bore_mm**2 * length_mm / 1000


def volume_of(build, loop, rule=RULE):
    """(mL of coolant in one loop, findings for what is not known)."""
    total, unknown = 0.0, []
    for step in loop.steps:
        line = build.line(step.role)
        if line and line.kind in HOLDS_COOLANT:
            unknown += rule.unless_known(line, "volume")
            total += line.number("volume") or 0.0
    bores = [tube.number("bore") for tube in build.of_kind("tube") if tube.number("bore")]
    return total + (tube_volume_ml(loop.tube_length_mm, max(bores)) if bores else 0.0), unknown


def volume(build):
    """(mL of coolant in all loops, findings for what is not known)."""
    volumes = [volume_of(build, loop) for loop in build.loops]
    return sum(one[0] for one in volumes), [finding for one in volumes for finding in one[1]]


def take_off(build):
    """([Item] of everything the loops take, findings for what is not known)."""
    loops = [loop for loop in build.loops if loop.steps]
    if not loops:
        return [], []
    inside, unknown = volume(build)
    unknown += [f for line in build.of_kind("fitting") for f in RULE.unless_known(line, "form")]
    free, more = _free_ports(build, loops)
    counted = {**_fittings(build, loops), **_closing(free)}
    labels = {
        "straight": _("fittings for tube"), "angle": _("angle fittings"), "bulkhead": _("bulkheads"),
        "plug": _("plugs"), "drain valve": _("drain valves"), "splitter": _("splitters for a drain"),
    }  # fmt: skip
    metres = sum(loop.tube_length_mm for loop in loops) / 1000
    litres = ceil(round(inside * COOLANT_RESERVE / 100, 6)) / 10
    items = [_item(build, "tube", _("tube"), round(metres, 3), spare_length(metres), "m")]
    for key, count in counted.items():
        spared = count if key in {"drain valve", "splitter", "bulkhead"} else with_spares(count)
        items.append(_item(build, key, labels[key], count, spared, ""))
    items.append(_item(build, "coolant", _("coolant"), round(inside / 1000, 3), litres, "L"))
    return [item for item in items if item.wanted or item.have], unknown + more


def _item(build, key, label, needed, wanted, unit):
    lines = lines_for(build, key)
    return item_of(key, label, needed, wanted, unit, key if key in {"tube", "coolant"} else "fitting", lines)


def item_of(key, label, needed, wanted, unit, kind, lines):
    """An Item and what these lines hold of it."""
    have = sum(line.quantity for line in lines)
    return Item(key, str(label), needed, wanted, have, unit, kind, tuple(line.role for line in lines))


def lines_for(build, key):
    """The lines of a build that an item of the take-off stands for."""
    if key in {"tube", "coolant"}:
        return build.of_kind(key)
    if key == "straight":
        return [line for line in build.of_kind("fitting") if not _angled(line) and holds_tube(line)]
    if key == "angle":
        return [line for line in build.of_kind("fitting") if _angled(line)]
    return [line for line in build.of_kind("fitting") if line.text("form") == key]


def _angled(line):
    return (line.text("form") or "").startswith("angle")


def _fittings(build, loops):
    """Two ends a run and two more at a bulkhead; an angle that holds tube itself stands in for a straight fitting."""
    runs = [run for loop in loops for run in loop.runs]
    ends = 2 * sum(len(loop.runs) or len(loop.steps) for loop in loops)
    angles, bulkheads = sum(run.angles for run in runs), sum(run.bulkheads for run in runs)
    ends += 2 * bulkheads
    clamping = any(_angled(line) and holds_tube(line) for line in build.of_kind("fitting"))
    return {"straight": max(0, ends - angles) if clamping else ends, "angle": angles, "bulkhead": bulkheads}


def _free_ports(build, loops):
    """({loop: ports that no tube uses, None where it may have more}, findings for parts without a count of ports)."""
    free, unknown = {}, []
    for loop in loops:
        lines = [line for step in loop.steps if (line := build.line(step.role)) and line.kind in HOLDS_COOLANT]
        uncounted = [f for line in lines for f in RULE.unless_known(line, "ports")]
        spare = sum(max(0, int(line.number("ports") or USED_PORTS) - USED_PORTS) for line in lines)
        free[loop.name] = spare or (None if uncounted else 0)
        unknown += uncounted
    return free, unknown


def _closing(free):
    """Each loop has a drain: at a free port, else at a splitter; every other free port is plugged.

    >>> _closing({"one": 3, "two": 0})
    {'plug': 2, 'drain valve': 2, 'splitter': 1}
    """
    return {
        "plug": sum(ports - 1 for ports in free.values() if ports),
        "drain valve": len(free),
        "splitter": sum(ports == 0 for ports in free.values()),
    }


def check(build):
    items, unknown = take_off(build)
    return [*unknown, *short_of(RULE, build, items, _("the loops"))]


def short_of(rule, build, items, taker):
    """Findings on Items of which the spec has too few: a caution at their lines, a note where there are none."""
    found = []
    for item in items:
        lines = [build.line(role) for role in item.roles]
        if item.short:
            found.append(_too_few(rule, item, lines, taker) if lines else _none(rule, item, taker))
    return found


def _said(number, unit):
    return f"{number:g} {unit}".strip()


def _too_few(rule, item, lines, taker):
    said = _("%(what)s: %(taker)s take %(needed)s; with spares that is %(wanted)s, and the spec has %(have)s.") % {
        "what": item.label[:1].upper() + item.label[1:], "taker": taker, "needed": _said(item.needed, item.unit),
        "wanted": _said(item.wanted, item.unit), "have": _said(item.have, item.unit),
    }  # fmt: skip
    action = _("Take the counts over into the spec, or waive this where less will do.")
    numbers = {"item": item.key, "needed": item.needed, "wanted": item.wanted, "have": item.have}
    return rule.caution(said, action, *lines, **numbers)


def _none(rule, item, taker):
    said = _("%(what)s: %(taker)s take %(wanted)s with spares, and the spec has none.") % {
        "what": item.label[:1].upper() + item.label[1:], "taker": taker, "wanted": _said(item.wanted, item.unit),
    }  # fmt: skip
    return rule.note(said, _("Add a role for them."), item=item.key, wanted=item.wanted)
