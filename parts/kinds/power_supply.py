"""What the catalogue knows of a power supply."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind

POWER_SUPPLY = Kind(
    key="power_supply",
    label=_("power supply"),
    words=("psu", "power supply unit", "netzteil", "alimentation", "fuente", "alimentatore", "voeding"),
    brief=("rated_power", "length"),
    facts=(
        F("rated_power", _("rated power"), "W", lower=50, upper=3000, needed_by=("power",)),
        F("length", _("length"), "mm", lower=50, upper=300),
        F("pcie_2x4", _("graphics connectors, 2×4 pins"), "count", lower=0, upper=16, needed_by=("power",)),
        F("pcie_16", _("graphics connectors, 16 pins"), "count", lower=0, upper=4, needed_by=("power",)),
        F("cable_set", _("cable set"), needed_by=("bought cables",), example="C-3",
          help=_("A code for its pin-outs, as the workshop writes it: only cables of the same set may be plugged in.")),
        F("eps", _("processor connectors"), "count", lower=0, upper=4, needed_by=("power",)),
    ),
)  # fmt: skip
