"""Filling the loop: what feeds the pump, how much coolant and tube, how many fittings."""

from math import ceil, pi

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .facts import BLOCKS, PUMPS
from .rule import Rule
from .tube import holds_tube

FILL = Rule("fill", _l("filling and bleeding"), _l("common practice"))
TAKE_OFF = Rule("take-off", _l("what the tubes take"), _l("geometry; spares are common practice"))
# Coolant is lost to bleeding and the first spill; common practice.
COOLANT_RESERVE = 1.15


def check_fill(build):
    found = []
    for loop in build.loops:
        pairs = [(step, line) for step in loop.steps if (line := build.line(step.role))]
        if pairs:
            found += _feed(loop, pairs)
    return found


def _feed(loop, pairs):
    kinds = [line.kind for _step, line in pairs]
    lines = [line for _step, line in pairs]
    if not set(kinds) & set(PUMPS):
        return [FILL.stop(_("%(loop)s has no pump.") % {"loop": loop.name}, _("Add one to its order."), *lines)]
    found = []
    if not set(kinds) & {"reservoir", "pump_reservoir"}:
        found.append(
            FILL.caution(
                _("%(loop)s has no reservoir: it is hard to fill and to bleed.") % {"loop": loop.name},
                _("Add a reservoir above the pump, or plan a fill port at the highest point."), *lines,
            )
        )  # fmt: skip
    else:
        found += [_unfed(line) for n, line in enumerate(lines) if line.kind == "pump" and kinds[n - 1] != "reservoir"]
    for line in lines:
        if line.kind in {"reservoir", "pump_reservoir"}:
            found += FILL.unless_known(line, "top_inlet")
    return found


def _unfed(pump):
    return FILL.caution(
        _("%(pump)s does not follow a reservoir in the loop.") % {"pump": pump.part},
        _("Let a reservoir right before it feed it by gravity; a pump that runs dry is soon dead."), pump,
    )  # fmt: skip


def check_take_off(build):
    return [*_tube(build), *_coolant(build), *_fittings(build)]


def _tube(build):
    wanted, tubes = sum(loop.tube_length_mm for loop in build.loops) / 1000, build.of_kind("tube")
    have = sum(tube.quantity for tube in tubes)
    if not tubes or wanted <= have:
        return []
    said = _("The loops take %(wanted)s m of tube; the spec has %(have)s m.") % {
        "wanted": f"{wanted:.2f}", "have": f"{have:g}",
    }  # fmt: skip
    action = _("Raise the quantity, and add for cuts and spoilt bends.")
    return [TAKE_OFF.caution(said, action, *tubes, wanted_m=round(wanted, 2), have_m=have)]


def tube_volume_ml(length_mm, bore_mm):
    """Coolant in a tube, mL.

    >>> round(tube_volume_ml(1000, 10), 2)
    78.54
    """
    return pi / 4 * bore_mm**2 * length_mm / 1000


def volume(build):
    """(mL of coolant in all loops, findings for what is not known)."""
    total, unknown = 0.0, []
    for _loop, _step, line in build.steps():
        if line.kind in (*BLOCKS, *PUMPS, "radiator", "reservoir"):
            inside = line.number("volume")
            if inside is None:
                unknown.append(TAKE_OFF.missing(line, "volume"))
            total += inside or 0.0
    bores = [tube.number("bore") for tube in build.of_kind("tube") if tube.number("bore")]
    total += sum(tube_volume_ml(loop.tube_length_mm, max(bores)) for loop in build.loops) if bores else 0.0
    return total, unknown


def _coolant(build):
    coolants = build.of_kind("coolant")
    if not build.loops or not coolants:
        return []
    inside, unknown = volume(build)
    have = 1000 * sum(coolant.quantity for coolant in coolants)
    if have >= COOLANT_RESERVE * inside:
        return unknown
    said = _("The loops hold %(inside)s mL; with %(spare)d %% in reserve the %(have)s mL in the spec are too few.") % {
        "inside": f"{inside:.0f}", "spare": round(100 * (COOLANT_RESERVE - 1)), "have": f"{have:.0f}",
    }  # fmt: skip
    caution = TAKE_OFF.caution(
        said, _("Raise the quantity of coolant."), *coolants, inside_ml=round(inside), have_ml=have
    )
    return [*unknown, caution]


def _fittings(build):
    """Two tube ends a component in a closed loop, and spares: one in eight, at least two."""
    ends = 2 * sum(len(loop.steps) for loop in build.loops)
    fittings = [line for line in build.of_kind("fitting") if holds_tube(line)]
    if not ends or not fittings:
        return []
    wanted, have = ends + max(2, ceil(ends / 8)), sum(line.quantity for line in fittings)
    if have >= wanted:
        return []
    said = _("The loops have %(ends)d tube ends; with spares that is %(wanted)d fittings, and the spec has %(have)d.")
    action = _("Raise the quantity, or waive this where parts screw straight onto each other.")
    numbers = {"ends": ends, "wanted": wanted, "have": have}
    return [TAKE_OFF.caution(said % numbers, action, *fittings, **numbers)]
