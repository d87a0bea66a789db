"""What the catalogue knows of a fan."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind
from .rules import not_more

FAN = Kind(
    key="fan",
    label=_("fan"),
    words=("fans", "ventilator", "lüfter", "ventilateur", "ventilador", "ventola", "fläkt", "vifte"),
    brief=("size", "thickness", "rated_speed", "free_flow"),
    measures=("size", "rated_speed", "free_flow", "max_pressure", "sound_level", "current"),
    sized=("size", "thickness"),
    facts=(
        F("size", _("frame size"), "mm", lower=40, upper=220, needed_by=("stack", "fan pattern", "thermal")),
        F("thickness", _("thickness"), "mm", lower=8, upper=60, needed_by=("stack", "screws")),
        F("flange", _("thickness of a mounting flange"), "mm", lower=1, upper=20,
          help=_("For screws that pass one flange and not the whole fan.")),
        F("rated_speed", _("rated speed"), "rpm", lower=100, upper=10000, needed_by=("thermal",)),
        F(
            "start_speed", _("lowest speed it starts at, of rated"), "1", lower=0, upper=1, shown_in="%",
            help=_("As 30 % or 0.3."),
        ),
        F("free_flow", _("free air flow"), "m3/h", lower=1, upper=1500, needed_by=("thermal",),
          help=_("At rated speed with nothing in the way, as in 61 CFM.")),
        F("max_pressure", _("highest static pressure"), "Pa", lower=0.1, upper=500, needed_by=("thermal",),
          help=_("At rated speed with the way shut, as in 1.8 mmH2O.")),
        F("curve", _("measured curve, m³/h and Pa"), points=("m3/h", "Pa"), needed_by=("thermal",),
          example="0 m³/h 18 Pa; 50 m³/h 12 Pa; 104 m³/h 0 Pa",
          help=_("Points at rated speed from the maker's chart, a flow and a pressure each; it takes the place of free "
                 "flow and highest pressure. Lines of a table or CSV can be pasted.")),
        F("sound_level", _("sound level at rated speed"), "dB", lower=0, upper=90, needed_by=("thermal",)),
        F("current", _("current on its label"), "A", lower=0.01, upper=5, needed_by=("power",)),
    ),
    rules=(not_more("thickness", "size"),),
)  # fmt: skip
