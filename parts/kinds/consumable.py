"""What the catalogue knows of a consumable."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind
from .shared import SCREW_THREADS

CONSUMABLE = Kind(
    key="consumable",
    label=_("consumable"),
    words=("paste", "thermal paste", "pads", "thermal pad", "screws", "terminals", "wärmeleitpaste",
           "verbrauchsmaterial"),
    brief=("form", "screw_thread", "screw_length"),
    facts=(
        F("form", _("what it is"), choices=("paste", "pad", "screws", "terminals", "housing", "other"),
          help=_("What the cable book's count goes by.")),
        F("connector", _("connector that a housing makes"), example="graphics 2×4", needed_by=("cable take-off",),
          help=_("As in the cable book: board 24, processor 2×4, graphics 2×4, 16-pin, drive, disk 4.")),
        F("screw_thread", _("thread, of screws"), choices=SCREW_THREADS, needed_by=("threads",)),
        F("screw_length", _("length, of screws"), "mm", lower=2, upper=120, needed_by=("screws",),
          help=_("Under the head, as a screw is called: M3 × 30 is 30 mm.")),
    ),
)  # fmt: skip
