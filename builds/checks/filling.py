"""Filling the loop: what feeds the pump, and where it is filled and drained."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .facts import PUMPS
from .rule import Rule

FILL = Rule("fill", _l("filling and bleeding"), _l("common practice"))


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
            if line.yes("top_inlet") is False:
                found.append(_no_inlet(line))
    return found


def _unfed(pump):
    return FILL.caution(
        _("%(pump)s does not follow a reservoir in the loop.") % {"pump": pump.part},
        _("Let a reservoir right before it feed it by gravity; a pump that runs dry is soon dead."), pump,
    )  # fmt: skip


def _no_inlet(line):
    return FILL.caution(
        _("%(part)s has no inlet in its top: a return straight into the pump fills and bleeds slowly.")
        % {"part": line.part},
        _("Lead the return into the reservoir's side, and tip the machine while filling."),
        line,
    )
