"""Filling the loop: what feeds the pump, where it is filled, where air gathers, and where it is drained."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .facts import PUMPS
from .rule import Rule

FILL = Rule("fill", _l("filling and bleeding"), _l("common practice"))
RESERVOIRS = ("reservoir", "pump_reservoir")


def check_fill(build):
    found = []
    for loop in build.loops:
        lines = [line for step in loop.steps if (line := build.line(step.role))]
        if lines:
            found += _feed(loop, lines)
            found += [*_top(build, loop, lines), *_bottom(build, loop)]
    return found


def _feed(loop, lines):
    kinds = [line.kind for line in lines]
    if not set(kinds) & set(PUMPS):
        return [FILL.stop(_("%(loop)s has no pump.") % {"loop": loop.name}, _("Add one to its order."), *lines)]
    found = []
    if not set(kinds) & set(RESERVOIRS):
        found.append(
            FILL.caution(
                _("%(loop)s has no reservoir: it is hard to fill and to bleed.") % {"loop": loop.name},
                _("Add a reservoir above the pump, or plan a fill port at the highest point."), *lines,
            )
        )  # fmt: skip
    else:
        found += [_unfed(line) for n, line in enumerate(lines) if line.kind == "pump" and kinds[n - 1] != "reservoir"]
    for line in lines:
        if line.kind in RESERVOIRS:
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


def _top(build, loop, lines):
    """Air rises to the highest point: that is where the loop should be filled, and never the pump."""
    highest, holders = build.line(loop.highest), [line for line in lines if line.kind in RESERVOIRS]
    filled = build.line(loop.filled_at) or (holders[0] if len(holders) == 1 else None)
    if highest is None or filled is None:
        return [_not_said(loop, "highest", _("which part is its highest point, and at which it is filled"), lines)]
    words = {"high": highest.part, "fill": filled.part, "loop": loop.name}
    numbers = {"highest": highest.role, "filled_at": filled.role}
    if highest.kind == "pump" and holders:
        said = _("%(high)s is the highest point of “%(loop)s”: no reservoir feeds it by gravity.") % words
        return [FILL.stop(said, _("Set the reservoir above the pump; a pump that runs dry is soon dead."), highest,
                          *holders, **numbers)]  # fmt: skip
    if highest.role == filled.role:
        return []
    said = _("“%(loop)s” is filled at %(fill)s, but %(high)s is its highest point: air stays there.") % words
    action = _("Raise the filling point above it, give it a port to bleed by, or tip the machine while filling.")
    return [FILL.caution(said, action, filled, highest, **numbers)]


def _bottom(build, loop):
    """What lies below the drain stays full when the loop is drained."""
    lowest, drained = build.line(loop.lowest), build.line(loop.drained_at)
    if lowest is None or drained is None:
        lines = [line for step in loop.steps if (line := build.line(step.role))]
        return [_not_said(loop, "lowest", _("which part is its lowest point, and at which it is drained"), lines)]
    if lowest.role == drained.role:
        return []
    said = _("“%(loop)s” is drained at %(drain)s, but %(low)s lies lower and stays full.") % {
        "loop": loop.name, "drain": drained.part, "low": lowest.part,
    }  # fmt: skip
    action = _("Put the drain at the lowest point, or plan to tip the machine over a tray: power off and unplugged.")
    return [FILL.caution(said, action, drained, lowest, lowest=lowest.role, drained_at=drained.role)]


def _not_said(loop, key, what, lines):
    return FILL.note(
        _("It is not said of “%(loop)s” %(what)s.") % {"loop": loop.name, "what": what},
        _("Choose them under “Filling and draining” at the order of the loop."), *lines, loop=loop.name, unsaid=key,
    )  # fmt: skip
