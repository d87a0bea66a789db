"""What the catalogue knows of a controller."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind

CONTROLLER = Kind(
    key="controller",
    label=_("controller"),
    words=("fan controller", "fan hub", "hub", "splitter cable", "steuerung", "contrôleur"),
    brief=("outputs", "output_current"),
    facts=(
        F("outputs", _("fan outputs"), "count", lower=1, upper=24),
        F("output_current", _("current an output may give"), "A", lower=0.1, upper=10, needed_by=("power",)),
        F("own_supply", _("fed by the power supply, not by a header"), "yes", needed_by=("power",)),
    ),
)
