"""Room at the ports, and room for a tube's bends."""

from math import pi

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .rule import Rule
from .tube import PORTED, holds_tube

RULE = Rule("ports", _l("room at the ports"), _l("geometry; common practice"))
BENDS = Rule("bends", _l("bends in the tubes"), _l("geometry; common practice"))
TOOL_MM = 2.0
STRAIGHT_MM = 15.0  # of straight tube inside and before each fitting


def check(build):
    fittings = [line for line in build.of_kind("fitting") if holds_tube(line)]
    parts = build.of_kind(*PORTED)
    if not fittings or not parts:
        return []
    found = [f for line in fittings for f in RULE.unless_known(line, "diameter")]
    widest = max((line for line in fittings if line.number("diameter")), key=lambda one: one.number("diameter"),
                 default=None)  # fmt: skip
    for part in parts:
        found += RULE.unless_known(part, "port_spacing")
        if widest and part.number("port_spacing") is not None:
            found += _beside(part, widest)
    return found


def _beside(part, fitting):
    apart, wide = part.number("port_spacing"), fitting.number("diameter")
    words = {"part": part.part, "apart": f"{apart:g}", "fitting": fitting.part, "wide": f"{wide:g}"}
    numbers = {"apart_mm": apart, "wide_mm": wide}
    if apart < wide:
        said = _("Ports of %(part)s are %(apart)s mm apart; two of %(fitting)s, %(wide)s mm wide, do not go in.")
        return [RULE.stop(said % words, _("Take slimmer fittings, or an angle at one port."), part, fitting, **numbers)]
    if apart < wide + TOOL_MM:
        said = _("Ports of %(part)s are %(apart)s mm apart; beside %(fitting)s, %(wide)s mm wide, no tool goes in.")
        action = _("Tighten one before the other goes in, or take slimmer fittings.")
        return [RULE.caution(said % words, action, part, fitting, **numbers)]
    return []


def shortest_run(bends, radius_mm):
    """Length of tube that so many right angles take, with a straight end at each side, mm.

    >>> round(shortest_run(2, 30.0), 1)
    124.2
    """
    return bends * pi / 2 * radius_mm + 2 * STRAIGHT_MM


def check_bends(build):
    runs = [(loop, run) for loop in build.loops for run in loop.runs if run.bends]
    tubes = build.of_kind("tube")
    if not runs or not tubes:
        return []
    unknown = [f for tube in tubes for f in BENDS.unless_known(tube, "bend_radius")]
    known = [tube for tube in tubes if tube.number("bend_radius") is not None]
    if not known:
        return unknown
    tightest = min(known, key=lambda tube: tube.number("bend_radius"))
    return unknown + [f for loop, run in runs for f in _bent(build, run, tightest)]


def _bent(build, run, tube):
    least = shortest_run(run.bends, tube.number("bend_radius"))
    if run.length_mm >= least:
        return []
    said = _("From %(start)s to %(end)s: %(bends)d bends of %(tube)s take %(least)s mm; the run has %(have)s mm.") % {
        "start": run.start, "end": run.end, "bends": run.bends, "tube": tube.part, "least": f"{least:.0f}",
        "have": f"{run.length_mm:g}",
    }  # fmt: skip
    lines = [line for role in (run.start, run.end) if (line := build.line(role))]
    numbers = {"least_mm": round(least), "have_mm": run.length_mm}
    return [BENDS.stop(said, _("Use an angle fitting in place of a bend, or another way."), tube, *lines, **numbers)]
