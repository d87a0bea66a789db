"""What the catalogue knows of a wire, a sleeve or heat-shrink: what cables are made of by the metre."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind

WIRE = Kind(
    key="wire",
    label=_("wire or sleeve"),
    words=("wire", "wires", "sleeve", "sleeving", "heat-shrink", "litze", "schrumpfschlauch"),
    unit="m",
    brief=("form", "gauge", "colour"),
    facts=(
        F("form", _("what it is"), choices=("wire", "sleeve", "heat-shrink"), needed_by=("cable take-off",)),
        F("gauge", _("wire gauge, AWG"), "count", lower=10, upper=30, needed_by=("cable take-off",)),
        F("colour", _("colour"), example="slate",
          help=_("As in the cable book. Left empty, it stands for every colour of its gauge.")),
        F("diameter", _("diameter"), "mm", lower=0.5, upper=40, help=_("Outside; of heat-shrink before it shrinks.")),
    ),
)  # fmt: skip
