"""What the catalogue knows of a cable."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind

CABLE = Kind(
    key="cable",
    label=_("cable"),
    words=("cables", "extension", "kabel", "câble", "cavo"),
    brief=("length", "connectors"),
    facts=(
        F("length", _("length"), "mm", lower=10, upper=5000, needed_by=("bought cables",)),
        F("gauge", _("wire gauge, AWG"), "count", lower=10, upper=30, needed_by=("bought cables",)),
        F("connectors", _("connectors at its ends"), many=True, repeats=True, example="graphics 2×4, graphics 2×4",
          needed_by=("bought cables",),
          help=_("The supply's end first, then each end at a device: board 24, processor 2×4, graphics 2×4, 16-pin, "
                 "drive, disk 4; fan or data where it carries no device's power.")),
        F("cable_sets", _("cable sets it belongs to"), many=True, example="C-3, C-4", needed_by=("bought cables",),
          help=_("Codes as the workshop writes them at its supplies; “extension” when it lengthens the supply's own.")),
        F("sense", _("sense rating of its 16-pin plug"), "W", lower=150, upper=600, needed_by=("bought cables",)),
    ),
)  # fmt: skip
