"""What the catalogue knows of a block for memory modules."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind
from .shared import BLOCK, MEMORY_TYPES

MEMORY_BLOCK = Kind(
    key="memory_block",
    label=_("memory block"),
    words=("ram block", "ram water block", "memory water block", "ram-kühler"),
    brief=("modules", "height", "wetted_metals"),
    facts=(
        F("memory_type", _("memory type"), choices=MEMORY_TYPES, help=_("Of the heat spreaders that come with it.")),
        F("modules", _("modules it covers"), "count", lower=1, upper=8),
        F("height", _("height over the board"), "mm", lower=10, upper=150,
          help=_("With the modules in it: it takes the place of their height.")),
        *BLOCK,
    ),
)  # fmt: skip
