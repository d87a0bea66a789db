"""The main board."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind
from .shared import BOARD_SIZES, LIMIT, MEMORY_TYPES, SOCKET

BOARD = Kind(
    key="board",
    label=_("main board"),
    words=("motherboard", "mainboard", "hauptplatine", "carte mère", "placa base", "scheda madre", "moederbord"),
    brief=("size", "socket", "memory_type", "fan_headers"),
    facts=(
        F("size", _("board size"), choices=BOARD_SIZES, needed_by=("form factor",)),
        SOCKET,
        F("board_design", _("board design code"), needed_by=("board design",), example="A7-wide",
          help=_("The code of the printed board; a block over its regulators must list it.")),
        F("memory_type", _("memory type"), choices=MEMORY_TYPES),
        F("memory_places", _("memory places"), "count", lower=1, upper=16),
        F("fan_headers", _("fan headers"), "count", lower=0, upper=20),
        F(
            "header_current", _("current a header may give"), "A", lower=0.1, upper=5, needed_by=("power",),
            help=_("As printed in the board's manual; 1 A is taken when it is not known."),
        ),
        F("power_connectors", _("processor power connectors"), "count", lower=1, upper=3, needed_by=("power",)),
        F(
            "heat", _("heat given off"), "W", lower=0, upper=200,
            help=_("Into the air of the case, or into the block that cools it."),
        ),
        LIMIT,
    ),
)  # fmt: skip
