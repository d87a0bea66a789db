"""What the catalogue knows of a radiator."""

from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind
from .rules import not_more
from .shared import MAX_PRESSURE, PORTED, REFERENCE_DROP, REFERENCE_FLOW, VOLUME, WETTED_METALS


def _long_enough(kind, values):
    """A radiator is at least as long as its fans in a row."""
    length, sections, size = (values.get(name) for name in ("length", "sections", "section_size"))
    if None in (length, sections, size) or length >= sections * size:
        return None
    return "length", _now("outside length: %(sections)d fans of %(size)g mm need at least %(need)g mm.") % {
        "sections": sections,
        "size": size,
        "need": sections * size,
    }


RADIATOR = Kind(
    key="radiator",
    label=_("radiator"),
    words=("rad", "radiators", "radiateur", "radiador", "radiatore", "wärmetauscher"),
    brief=("sections", "section_size", "thickness", "fins_per_inch"),
    measures=("thickness", "fins_per_inch"),
    sized=("sections", "section_size"),
    facts=(
        F("sections", _("fan sections"), "count", lower=1, upper=9, needed_by=("thermal", "stack"),
          help=_("How many fans cover one side, in a row.")),
        F("section_size", _("section size"), "mm", lower=80, upper=220, needed_by=("thermal", "stack"),
          help=_("Frame size of the fans it takes: 120 mm, 140 mm.")),
        F("thickness", _("thickness"), "mm", lower=15, upper=120, needed_by=("stack",)),
        F("core_depth", _("depth of the finned core"), "mm", lower=5, upper=110, needed_by=("thermal",),
          help=_("Without the frame, in the direction the air goes.")),
        F("fins_per_inch", _("fins per inch"), "1/in", lower=4, upper=40, needed_by=("thermal",),
          help=_("Count the gaps between fins over 20 mm and multiply by 1.27.")),
        F("length", _("outside length"), "mm", lower=80, upper=1000),
        F("width", _("outside width"), "mm", lower=60, upper=400),
        F("fan_thread", _("thread of the fan holes"), choices=("M3", "M4", "6-32"), needed_by=("threads",)),
        F("screw_wall", _("wall at a fan hole"), "mm", lower=0.3, upper=10, needed_by=("screws",),
          help=_("With its collar, where it has one.")),
        F("screw_plate", _("a plate protects the channels under the fan holes"), "yes"),
        F("screw_depth", _("clear depth under a fan hole"), "mm", lower=0, upper=60, needed_by=("screws",),
          help=_("From the wall's inner face to fins or channel. Measure it: a pierced channel is a dead radiator.")),
        *PORTED, WETTED_METALS, REFERENCE_FLOW, REFERENCE_DROP, VOLUME, MAX_PRESSURE,
    ),
    rules=(
        not_more("core_depth", "thickness"),
        not_more("screw_depth", "thickness"),
        not_more("section_size", "width"),
        _long_enough,
    ),
)  # fmt: skip
