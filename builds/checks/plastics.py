"""Plastics in the coolant: what glycol does to them, and the warmest they bear."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .facts import BLOCKS, PUMPS
from .rule import Rule

RULE = Rule("plastics", _l("plastics in the coolant"), _l("published polymer tables; crazing is common practice"))
# Long-term service limits, °C; the thermal check takes a margin of 10 K off.
LIMITS = {
    "PETG": 60.0, "PVC": 60.0, "PVC rigid": 60.0, "acrylic extruded": 70.0, "acrylic cast": 80.0,
}  # fmt: skip
HOLDERS = (*BLOCKS, *PUMPS, "reservoir")


def plastics_of(line):
    if line.kind == "tube":
        return {line.text("material")} - {None}
    return set(line.many("wetted_plastics") or ())


def lowest_limit(build):
    """(°C, part) of the plastic that bears the least warmth; None where there is none."""
    limits = [
        (LIMITS[plastic], line.part)
        for line in build.of_kind(*HOLDERS, "tube")
        for plastic in plastics_of(line)
        if plastic in LIMITS
    ]
    return min(limits, default=None)


def check(build):
    found = [f for line in build.of_kind(*HOLDERS) for f in RULE.unless_known(line, "wetted_plastics")]
    found += [f for line in build.of_kind("tube") for f in RULE.unless_known(line, "material")]
    for coolant in build.of_kind("coolant"):
        if coolant.text("fluid") in {"ethylene glycol", "propylene glycol"}:
            found += _crazing(build, coolant)
    return found


def _crazing(build, coolant):
    lines = [
        line for line in build.of_kind(*HOLDERS, "tube") if any(p.startswith("acrylic") for p in plastics_of(line))
    ]
    if not lines:
        return []
    said = _("%(coolant)s holds glycol, and %(parts)s is acrylic: stressed acrylic crazes in glycol or alcohol.") % {
        "coolant": coolant.part, "parts": ", ".join(line.part for line in lines),
    }  # fmt: skip
    action = _("Anneal bent and drilled acrylic, tighten gently, or use a coolant without glycol.")
    return [RULE.caution(said, action, coolant, *lines)]
