"""Fill and bleed: what went in against what the loop should hold, and the level after a day."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from thermal.units import format_quantity

from .judgement import FAILED, OPEN, PASSED, Judgement, Measure

STEPS = (
    gettext_lazy("Mains off and unplugged; only the pump fed, as in the wet test."),
    gettext_lazy("Weigh or measure the coolant: what was ready, less what is left, went in."),
    gettext_lazy("Run the pump, tilt the machine to each side, top up, until no bubbles return."),
    gettext_lazy("Mark the level. After a day, pump off and machine level, read it again; note what topping up took."),
)
CAUTIONS = (
    gettext_lazy("Electricity and water: mains off and unplugged while filling, draining or testing."),
    gettext_lazy("Coolant and biocide: gloves, follow the safety data sheet, dispose of as local rules say."),
    gettext_lazy("Aluminium and copper in one loop corrode; never mix metals or coolants of different kinds."),
)


def measures(machine, limits):
    held = format_quantity(machine.volume_l, "L")
    return (
        Measure("volume_in", _("coolant that went in"), "L", 0.01, 50,
                help=_("By the parts' facts the loop holds %(v)s.") % {"v": held} if machine.volume_l else ""),
        Measure("hours", _("time since it was bled"), "h", 0, 1000),
        Measure("top_up", _("topped up after that time"), "mL", 0, 5000,
                help=_("0 mL when the level stands at its mark.")),
    )  # fmt: skip


def limit_lines(machine, limits):
    share = format_quantity(limits.fill_tolerance_percent, "%")
    if machine.volume_l and not machine.without_volume:
        held = format_quantity(machine.volume_l, "L")
        volume = _("%(v)s by the parts' facts, ± %(share)s") % {"v": held, "share": share}
    else:
        missing = ", ".join(machine.without_volume) or _("the loop")
        volume = _("not judged: no volume is known for %(parts)s") % {"parts": missing}
    level = _("after %(h)s at most %(ml)s to top up") % {
        "h": format_quantity(limits.fill_hours, "h"),
        "ml": format_quantity(limits.fill_top_up_ml, "mL"),
    }
    return (_("volume"), volume), (_("level"), level)


def judge(measured, machine, limits):
    """Too little in, or a level that falls, fails; more than the loop can hold is not judged: something is wrong."""
    known = bool(machine.volume_l) and not machine.without_volume
    numbers = ()
    if known:
        share = (measured["volume_in"] / machine.volume_l - 1.0) * 100.0
        numbers = ((_("held by the parts' facts"), machine.volume_l, "L"), (_("went in, more or less"), share, "%"))
    faults, doubts = list(_level_faults(measured, limits)), list(_level_doubts(measured, limits))
    if known:
        short, excess = _volume(measured["volume_in"], machine.volume_l, limits)
        faults += short
        doubts += excess
    if faults:
        return Judgement(FAILED, tuple(faults), numbers, causes=_causes())
    if doubts:
        return Judgement(OPEN, tuple(doubts), numbers)
    reasons = [_("%(v)s went in and the level stood after %(h)s.") % {
        "v": format_quantity(measured["volume_in"], "L"), "h": format_quantity(measured["hours"], "h")}]  # fmt: skip
    missing = ", ".join(machine.without_volume) or _("the loop")
    unknown = _("Whether it is full was not judged: no volume is known for %(parts)s. Look the level over, and say so.")
    return Judgement(PASSED, tuple(reasons), numbers, () if known else (unknown % {"parts": missing},))


def _level_faults(measured, limits):
    if measured["top_up"] > limits.fill_top_up_ml:
        yield _("%(typed)s to top up: air is still leaving the loop, or coolant is. The limit is %(ml)s.") % {
            "typed": format_quantity(measured["top_up"], "mL"),
            "ml": format_quantity(limits.fill_top_up_ml, "mL"),
        }


def _level_doubts(measured, limits):
    if measured["hours"] < limits.fill_hours:
        yield _("%(typed)s since it was bled; the level is read after %(h)s.") % {
            "typed": format_quantity(measured["hours"], "h"),
            "h": format_quantity(limits.fill_hours, "h"),
        }


def _volume(volume_in, held, limits):
    """(faults of too little, doubts of too much)."""
    share = limits.fill_tolerance_percent / 100.0
    told = {"typed": format_quantity(volume_in, "L"), "held": format_quantity(held, "L")}
    if volume_in < held * (1.0 - share):
        return [_("%(typed)s went in, the loop should hold %(held)s: the rest is air. Bleed on.") % told], []
    if volume_in > held * (1.0 + share):
        return [], [_("%(typed)s went in, more than the %(held)s the loop can hold by its facts: look for coolant "
                      "outside the loop, then correct the parts' volumes.") % told]  # fmt: skip
    return [], []


def _causes():
    return (
        _("air in a radiator whose ports point down: turn the machine so that they point up"),
        _("a pump that did not draw: fill its inlet first"),
        _("a slow leak: wipe every joint and lay paper again"),
    )
