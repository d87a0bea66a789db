"""Fittings, tube and ports: what screws and clamps together."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .facts import BLOCKS, PUMPS
from .rule import Rule

RULE = Rule("tube", _l("fittings, tube and ports"), _l("ISO 228-1 for the thread; diameters are common practice"))
HOLDS_TUBE = {"straight", "angle 45", "angle 90", None}
PORTED = (*BLOCKS, *PUMPS, "radiator", "reservoir")
TOLERANCE_MM = 0.3


def check(build):
    tubes, fittings = build.of_kind("tube"), build.of_kind("fitting")
    found = []
    if tubes and fittings:
        found += [f for tube in tubes for f in RULE.unless_known(tube, "outside", "bore")]
        found += [f for fitting in fittings if holds_tube(fitting) for f in _clamps(fitting, tubes)]
    if fittings:
        found += _threads(build, fittings)
    return found


def holds_tube(fitting):
    """Has this fitting an end for a tube? An angle with a thread at both ends has no tube diameter to know."""
    return fitting.text("form") in HOLDS_TUBE and not (
        (fitting.text("form") or "").startswith("angle") and not {"tube_outside", "tube_bore"} & set(fitting.facts)
    )


def _clamps(fitting, tubes):
    outside = fitting.number("tube_outside")
    if outside is None:
        return [RULE.missing(fitting, "tube_outside")]
    known = [tube for tube in tubes if tube.number("outside") is not None]
    if not known or any(_matches(fitting, tube) for tube in known):
        return []
    words = {
        "fitting": fitting.part, "holds": _size(fitting.number("tube_bore"), outside),
        "tubes": "; ".join(f"{t.part}: {_size(t.number('bore'), t.number('outside'))}" for t in known),
    }  # fmt: skip
    return [
        RULE.stop(
            _("%(fitting)s holds tube of %(holds)s; the spec has %(tubes)s.") % words,
            _("Choose the fitting for this tube: a wrong diameter leaks or will not close."),
            fitting, *known, outside_mm=outside, tubes=words["tubes"],
        )
    ]  # fmt: skip


def _matches(fitting, tube):
    bores = fitting.number("tube_bore"), tube.number("bore")
    if abs(fitting.number("tube_outside") - tube.number("outside")) > TOLERANCE_MM:
        return False
    return None in bores or abs(bores[0] - bores[1]) <= TOLERANCE_MM


def _size(bore, outside):
    return f"{bore:g}/{outside:g} mm" if bore is not None else f"{outside:g} mm"


def _threads(build, fittings):
    known = {fitting.text("thread") for fitting in fittings} - {None}
    found = [f for fitting in fittings for f in RULE.unless_known(fitting, "thread")]
    for line in build.of_kind(*PORTED):
        thread = line.text("port_thread")
        if thread is None:
            found.append(RULE.missing(line, "port_thread"))
        elif known and thread not in known:
            found.append(
                RULE.stop(
                    _("%(part)s has %(thread)s ports; the fittings have %(known)s.")
                    % {"part": line.part, "thread": thread, "known": ", ".join(sorted(known))},
                    _("Choose fittings or adapters with this thread; they seal on their O-ring, not on the thread."),
                    line, thread=thread, fittings=", ".join(sorted(known)),
                )
            )  # fmt: skip
    return found
