"""What the catalogue knows of a graphics block."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind
from .shared import BLOCK

GRAPHICS_BLOCK = Kind(
    key="graphics_block",
    label=_("graphics block"),
    words=("gpu block", "gpu water block", "full cover block", "gpu-kühler", "vga block"),
    brief=("board_designs", "resistance", "wetted_metals"),
    facts=(
        F(
            "board_designs", _("board design codes it fits"), many=True, needed_by=("board design",),
            example="K2-short, K2-long",
            help=_("Codes with commas between; the word universal for a block that cools the chip alone."),
        ),
        *BLOCK,
    ),
)  # fmt: skip
