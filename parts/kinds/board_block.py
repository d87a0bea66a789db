"""What the catalogue knows of a block for the main board's voltage regulators."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind
from .shared import BLOCK

BOARD_BLOCK = Kind(
    key="board_block",
    label=_("board block"),
    words=(
        "motherboard block", "mainboard block", "main board block", "board water block", "vrm block", "monoblock",
        "spannungswandler-kühler",
    ),
    brief=("board_designs", "resistance", "wetted_metals"),
    facts=(
        F(
            "board_designs", _("main board designs it fits"), many=True, needed_by=("board design",), example="A7-wide",
            help=_("Codes of the printed boards, as the workshop writes them, with commas between."),
        ),
        F("cools_processor", _("cools the processor too"), "yes", needed_by=("thermal",)),
        F("sockets", _("sockets it mounts on"), many=True, needed_by=("socket",), example="S-17, S-21",
          help=_("Where it cools the processor too.")),
        *BLOCK,
    ),
)  # fmt: skip
