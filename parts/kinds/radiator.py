"""A radiator: its facts."""

from .base import FactSpec as F
from .base import Kind

RADIATOR = Kind(
    key="radiator",
    label="radiator",
    words=("rad",),
    facts=(
        F("sections", "fan sections", "count", lower=1, upper=9, needed_by=("thermal", "stack")),
        F("section_size", "section size", "mm", lower=80, upper=220, needed_by=("thermal", "stack")),
        F("length", "outside length", "mm", lower=80, upper=1000),
        F("width", "outside width", "mm", lower=60, upper=400),
        F("thickness", "thickness", "mm", lower=15, upper=120, needed_by=("stack",)),
        F("core_depth", "depth of the finned core", "mm", lower=5, upper=110, needed_by=("thermal",)),
        F("fins_per_inch", "fins per inch", "1", lower=4, upper=40, needed_by=("thermal",)),
        F("fan_thread", "thread of the fan holes", choices=("M3", "M4", "6-32"), needed_by=("threads",)),
        F("screw_depth", "clear depth under a fan hole", "mm", lower=0, upper=60, needed_by=("screws",)),
        F("port_thread", "port thread", choices=("G 1/4", "G 3/8", "G 1/2")),
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
        F(
            "reference_flow",
            "flow the drop is given at",
            "L/min",
            lower=0.1,
            upper=60,
            needed_by=("thermal",),
        ),
        F("reference_drop", "pressure drop at that flow", "kPa", lower=0, upper=200, needed_by=("thermal",)),
        F("volume", "coolant inside", "mL", lower=0, upper=5000),
        F("max_pressure", "highest pressure allowed, gauge", "bar", lower=0.05, upper=20),
    ),
)
