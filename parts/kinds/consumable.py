"""What the catalogue knows of a consumable."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind
from .shared import SCREW_THREADS

CONSUMABLE = Kind(
    key="consumable",
    label=_("consumable"),
    words=("paste", "thermal paste", "pads", "thermal pad", "sleeve", "screws", "wärmeleitpaste", "verbrauchsmaterial"),
    brief=("screw_thread", "screw_length"),
    facts=(
        F("screw_thread", _("thread, of screws"), choices=SCREW_THREADS, needed_by=("threads",)),
        F("screw_length", _("length, of screws"), "mm", lower=2, upper=120, needed_by=("screws",),
          help=_("Under the head, as a screw is called: M3 × 30 is 30 mm.")),
    ),
)  # fmt: skip
