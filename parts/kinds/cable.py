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
        F("length", _("length"), "mm", lower=10, upper=5000),
        F("gauge", _("wire gauge, AWG"), "count", lower=10, upper=30, needed_by=("cables",)),
        F("connectors", _("connectors at its ends"), many=True, example="2×4, 2×4"),
    ),
)
