"""A cable: its facts."""

from .base import FactSpec as F
from .base import Kind

CABLE = Kind(
    key="cable",
    label="cable",
    words=("cables", "extension"),
    facts=(
        F("length", "length", "mm", lower=10, upper=5000),
        F("gauge", "wire gauge, AWG", "count", lower=10, upper=30),
        F("connectors", "connectors at its ends", many=True),
    ),
)
