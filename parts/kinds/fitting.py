"""A fitting: its facts."""

from .base import FactSpec as F
from .base import Kind

FITTING = Kind(
    key="fitting",
    label="fitting",
    words=("fittings", "compression fitting", "plug", "adapter"),
    facts=(
        F(
            "form",
            "form",
            choices=(
                "straight",
                "angle 45",
                "angle 90",
                "plug",
                "drain valve",
                "bulkhead",
                "extension",
                "splitter",
                "fill port",
            ),
        ),
        F("thread", "thread", choices=("G 1/4", "G 3/8", "G 1/2")),
        F("tube_bore", "tube bore", "mm", lower=3, upper=30),
        F("tube_outside", "tube outside diameter", "mm", lower=5, upper=40, needed_by=("tube",)),
        F("diameter", "outside diameter", "mm", lower=5, upper=60),
        F(
            "wetted_metals",
            "wetted metals",
            many=True,
            help="All metals the coolant touches, with commas between.",
            needed_by=("metals",),
            choices=(
                "copper",
                "brass",
                "nickel",
                "stainless",
                "silver",
                "aluminium",
                "anodised aluminium",
                "zinc",
                "tin solder",
                "steel",
                "bronze",
                "titanium",
                "chromium plate",
                "magnesium",
                "none",
            ),
        ),
        F("max_pressure", "highest pressure allowed, gauge", "bar", lower=0.05, upper=20),
    ),
)
