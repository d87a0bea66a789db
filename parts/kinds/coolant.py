"""What the catalogue knows of a coolant."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind

COOLANT = Kind(
    key="coolant",
    label=_("coolant"),
    unit="L",
    words=("coolant mix", "fluid", "kühlmittel", "kühlflüssigkeit", "liquide", "refrigerante", "koelvloeistof"),
    brief=("fluid", "mass_fraction", "appearance"),
    facts=(
        F("fluid", _("base fluid"), choices=("water", "ethylene glycol", "propylene glycol"), needed_by=("thermal",)),
        F(
            "mass_fraction", _("share of glycol by mass"), "1", lower=0, upper=0.5, shown_in="%",
            needed_by=("thermal",), help=_("0 for water; 30 % or 0.3 for a mixture."),
        ),
        F("inhibited", _("holds a corrosion inhibitor"), "yes", needed_by=("metals",)),
        F("biocide", _("biocide in it"), choices=("none", "silver", "copper", "organic"), needed_by=("metals",)),
        F("life", _("months before it is changed"), "count", lower=1, upper=60, needed_by=("care",)),
        F("appearance", _("appearance"), choices=("clear", "dyed", "opaque")),
    ),
)  # fmt: skip
