"""What the catalogue knows of a fitting."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind
from .rules import not_more
from .shared import MAX_PRESSURE, PORT_THREADS, WETTED_METALS

FORMS = (
    "straight", "angle 45", "angle 90", "plug", "drain valve", "bulkhead", "extension", "splitter", "fill port",
    "breather",
)  # fmt: skip

FITTING = Kind(
    key="fitting",
    label=_("fitting"),
    words=(
        "fittings", "compression fitting", "plug", "adapter", "valve", "anschluss", "verschraubung", "raccord",
        "racor", "raccordo", "koppeling",
    ),
    brief=("form", "thread", "tube_outside", "wetted_metals"),
    facts=(
        F("form", _("form"), choices=FORMS, needed_by=("take-off",)),
        F("thread", _("thread"), choices=PORT_THREADS, needed_by=("ports",)),
        F("tube_bore", _("tube bore"), "mm", lower=3, upper=30, help=_("For soft tube, which sits on a barb.")),
        F("tube_outside", _("tube outside diameter"), "mm", lower=5, upper=40, needed_by=("tube",)),
        F("diameter", _("diameter of its body"), "mm", lower=5, upper=60, needed_by=("ports",)),
        F("thread_length", _("length of its male thread"), "mm", lower=2, upper=30, needed_by=("flow direction",)),
        WETTED_METALS,
        MAX_PRESSURE,
    ),
    rules=(not_more("tube_bore", "tube_outside", strictly=True),),
)  # fmt: skip
