"""A power supply: its facts."""

from .base import FactSpec as F
from .base import Kind

POWER_SUPPLY = Kind(
    key="power_supply",
    label="power supply",
    words=("psu", "power supply unit"),
    facts=(
        F("rated_power", "rated power", "W", lower=50, upper=3000, needed_by=("power",)),
        F("length", "length", "mm", lower=50, upper=300),
        F("pcie_2x4", "graphics connectors, 2×4 pins", "count", lower=0, upper=16),
        F("pcie_16", "graphics connectors, 16 pins", "count", lower=0, upper=4),
        F("eps", "processor connectors", "count", lower=0, upper=4),
    ),
)
