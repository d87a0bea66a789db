"""Wet test: the filled loop runs on the pump alone for a day, everything else unplugged, paper under every joint."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from thermal.units import format_quantity

from .judgement import FAILED, OPEN, PASSED, YES_NO, Judgement, Measure

STEPS = (
    gettext_lazy("Mains off and unplugged. Radiators have been rinsed before fitting."),
    gettext_lazy(
        "Pull every board, graphics, drive and fan connector; only the pump is fed, from a supply of its own."
    ),
    gettext_lazy("Lay dry paper under every joint and below the machine; note where each sheet lies."),
    gettext_lazy("Fill slowly, start and stop the pump until it runs full; never let it run dry."),
    gettext_lazy("Leave it for 24 hours, turn it once; then look at every sheet of paper and wipe every joint."),
)
CAUTIONS = (
    gettext_lazy("Electricity and water: mains off and unplugged while filling, draining or testing; "
                 "only the pump powered in a wet test."),
    gettext_lazy("Coolant and biocide: gloves, follow the safety data sheet, dispose of as local rules say."),
    gettext_lazy("If coolant reached a board, it stays unpowered until it is rinsed, dried and looked over."),
)  # fmt: skip


def measures(machine, limits):
    return (
        Measure("hours", _("time it ran"), "h", 0, 1000),
        Measure("drops", _("places where drops or damp paper were found"), "count", 0, 200,
                help=_("0 for none. Write where in the note.")),
        Measure("pump_alone", _("only the pump was powered"), YES_NO, required=False),
        Measure("paper", _("paper lay under every joint"), YES_NO, required=False),
    )  # fmt: skip


def limit_lines(machine, limits):
    return (
        (_("time"), _("at least %(h)s") % {"h": format_quantity(limits.wet_hours, "h")}),
        (_("drops"), _("none, anywhere")),
    )


def judge(measured, machine, limits):
    """One drop fails at any time; a pass wants the whole day and a test that could have shown a drop."""
    if measured["drops"] > 0:
        reason = _("Coolant was found in %(n)d places; the limit is none.") % {"n": measured["drops"]}
        return Judgement(FAILED, (reason,), causes=_causes())
    doubts = []
    if measured["hours"] < limits.wet_hours:
        told = {"typed": format_quantity(measured["hours"], "h"), "h": format_quantity(limits.wet_hours, "h")}
        doubts.append(_("%(typed)s without a drop; a pass wants %(h)s. Leave it running.") % told)
    if not measured["pump_alone"]:
        doubts.append(_("Something besides the pump was powered: that is no wet test. Unplug it and start again."))
    if not measured["paper"]:
        doubts.append(_("Without paper under every joint a drop dries unseen; lay it and run the day again."))
    if doubts:
        return Judgement(OPEN, tuple(doubts))
    told = {"h": format_quantity(measured["hours"], "h")}
    return Judgement(PASSED, (_("%(h)s with the pump alone, paper dry at every joint.") % told,))


def _causes():
    return (
        _("the highest wet place is where it comes from: coolant runs down"),
        _("a fitting not tight, or its O-ring dry, nicked or missing"),
        _("a tube with a mark or burr where the O-ring sits"),
        _("condensed water instead of coolant: check its colour, touch and the room's temperature"),
    )
