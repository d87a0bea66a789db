"""What the catalogue knows of a memory."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind
from .shared import LIMIT, MEMORY_TYPES

MEMORY = Kind(
    key="memory",
    label=_("memory"),
    words=("ram", "memory kit", "dimm", "arbeitsspeicher", "speicher", "mémoire", "memoria", "geheugen"),
    brief=("memory_type", "capacity", "height"),
    facts=(
        F("memory_type", _("memory type"), choices=MEMORY_TYPES),
        F("capacity", _("capacity"), "GB", lower=1, upper=2048, help=_("Of the whole kit.")),
        F("modules", _("modules"), "count", lower=1, upper=16),
        F("height", _("height"), "mm", lower=10, upper=120, needed_by=("stack",)),
        F("heat", _("heat given off at full load"), "W", lower=0, upper=200, needed_by=("thermal",),
          help=_("Of the whole kit; needed where a block cools it.")),
        LIMIT,
    ),
)  # fmt: skip
