"""What the catalogue knows of a processor block."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind
from .shared import BLOCK

PROCESSOR_BLOCK = Kind(
    key="processor_block",
    label=_("processor block"),
    words=("cpu block", "cpu water block", "cpu-kühler", "waterblock cpu"),
    brief=("sockets", "resistance", "wetted_metals"),
    facts=(
        F(
            "sockets", _("sockets it mounts on"), many=True, needed_by=("socket",), example="S-17, S-21",
            help=_("As the workshop writes them, with commas between."),
        ),
        *BLOCK,
    ),
)  # fmt: skip
