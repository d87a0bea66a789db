"""A memory: its facts."""

from .base import FactSpec as F
from .base import Kind

MEMORY = Kind(
    key="memory",
    label="memory",
    words=("ram", "memory kit", "dimm"),
    facts=(
        F("memory_type", "memory type", choices=("DDR4", "DDR5")),
        F("capacity", "capacity", "GB", lower=1, upper=2048),
        F("modules", "modules", "count", lower=1, upper=16),
        F("height", "height", "mm", lower=10, upper=120),
    ),
)
