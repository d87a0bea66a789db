"""A coolant: its facts."""

from .base import FactSpec as F
from .base import Kind

COOLANT = Kind(
    key="coolant",
    label="coolant",
    unit="L",
    words=("coolant mix", "fluid"),
    facts=(
        F(
            "fluid",
            "base fluid",
            choices=("water", "ethylene glycol", "propylene glycol"),
            needed_by=("thermal",),
        ),
        F("mass_fraction", "share of glycol by mass", "1", lower=0, upper=0.5, needed_by=("thermal",)),
        F("inhibited", "holds a corrosion inhibitor", "yes", needed_by=("metals",)),
        F("life", "months before it is changed", "count", lower=1, upper=60),
        F("appearance", "appearance", choices=("clear", "dyed", "opaque")),
    ),
)
