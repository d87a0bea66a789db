"""Electrical: what a competent person signs before mains is switched on. The tool lists; it does not certify.

Which tests are due, to which values and by whom, is local law and licensed practice; values are recorded, not judged.
"""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from .judgement import CHOICE, FAILED, OPEN, PASSED, Judgement, Measure

GOOD, BAD, NOT_DUE = 1.0, 0.0, 2.0

STEPS = (
    gettext_lazy("Unplugged, and the loop dry outside: paper and touch."),
    gettext_lazy("Test every wire of every cable from end to end against the map of this very supply, and against "
                 "its neighbours."),
    gettext_lazy("Add up what each header and each output of the supply carries; compare with its rating."),
    gettext_lazy("Protective earth and insulation where local rules ask, by who may do so there."),
    gettext_lazy("First switch-on with a hand on the switch: pump and fans turn, nothing warms or smells."),
)  # fmt: skip
CAUTIONS = (
    gettext_lazy("Modular power-supply cables: pin-outs differ between makers and between models; map and "
                 "continuity-test every wire before power."),
    gettext_lazy("Mains voltage kills. Electrical safety tests are for a competent person, as local law and licensed "
                 "practice have it; never open a power supply."),
)  # fmt: skip
ITEMS = (
    ("dry", gettext_lazy("the machine is dry outside the loop"), False),
    ("continuity", gettext_lazy("every wire of every cable tested against the supply's map"), False),
    ("shorts", gettext_lazy("no short between neighbours or to the case"), False),
    ("headers", gettext_lazy("fan and pump headers within their rating"), False),
    ("supply", gettext_lazy("each output of the supply within its rating"), False),
    ("earth", gettext_lazy("protective earth"), True),
    ("insulation", gettext_lazy("insulation"), True),
    ("first_power", gettext_lazy("first switch-on: all turns, nothing warms or smells"), False),
)
SIGNED = True  # wants the name of who signs


def measures(machine, limits):
    found = []
    for name, label, by_rules in ITEMS:
        choices = [(GOOD, _("done, good")), (BAD, _("not good"))]
        if by_rules:
            choices.append((NOT_DUE, _("not asked for here")))
        found.append(Measure(name, str(label), CHOICE, choices=tuple(choices)))
    found += [
        Measure("earth_ohm", _("protective earth measured"), "ohm", 0, 1000, required=False),
        Measure("insulation_mohm", _("insulation measured"), "Mohm", 0, 100000, required=False),
    ]
    return tuple(found)


def limit_lines(machine, limits):
    return (
        (_("sign-off"), _("every line done and good, signed by a competent person")),
        (_("earth and insulation"), _("to the values local rules give; recorded here, not judged")),
    )


def judge(measured, machine, limits):
    labels = {name: str(label) for name, label, _by_rules in ITEMS}
    bad = [labels[name] for name in labels if measured.get(name) == BAD]
    missing = [labels[name] for name in labels if measured.get(name) is None]
    if bad:
        return Judgement(FAILED, tuple(_("Not good: %(item)s.") % {"item": item} for item in bad))
    if missing:
        return Judgement(OPEN, (_("Not signed yet: %(items)s.") % {"items": "; ".join(missing)},))
    return Judgement(PASSED, (_("Every line is signed as good."),))
