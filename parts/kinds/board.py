"""A main board: its facts."""

from .base import FactSpec as F
from .base import Kind

BOARD = Kind(
    key="board",
    label="main board",
    words=("motherboard", "mainboard", "main board"),
    facts=(
        F("size", "board size", choices=("Mini-ITX", "microATX", "ATX", "E-ATX"), needed_by=("form factor",)),
        F(
            "socket",
            "socket",
            help="As the workshop writes it; block and board must agree.",
            needed_by=("socket",),
        ),
        F("memory_type", "memory type", choices=("DDR4", "DDR5")),
        F("memory_places", "memory places", "count", lower=1, upper=16),
        F("fan_headers", "fan headers", "count", lower=0, upper=20),
        F("header_current", "header label current", "A", lower=0.1, upper=5),
        F("power_connectors", "processor power connectors", "count", lower=1, upper=3),
        F("heat", "heat given off", "W", lower=0, upper=200),
    ),
)
