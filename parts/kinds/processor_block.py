"""A processor block: its facts."""

from .base import FactSpec as F
from .base import Kind

PROCESSOR_BLOCK = Kind(
    key="processor_block",
    label="processor block",
    words=("cpu block", "cpu water block"),
    facts=(
        F("sockets", "sockets it mounts on", many=True, needed_by=("socket",)),
        F(
            "resistance",
            "thermal resistance at that flow",
            "K/W",
            lower=0.005,
            upper=2,
            needed_by=("thermal",),
        ),
        F("resistance_exponent", "exponent of flow in the resistance", "1", lower=0, upper=1),
        F(
            "reference_flow",
            "flow the drop is given at",
            "L/min",
            lower=0.1,
            upper=60,
            needed_by=("thermal",),
        ),
        F("reference_drop", "pressure drop at that flow", "kPa", lower=0, upper=200, needed_by=("thermal",)),
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
            "wetted_plastics",
            "wetted plastics",
            many=True,
            choices=(
                "acrylic cast",
                "acrylic extruded",
                "acetal",
                "PETG",
                "PVC",
                "polycarbonate",
                "rubber",
                "none",
            ),
        ),
        F("port_thread", "port thread", choices=("G 1/4", "G 3/8", "G 1/2")),
        F("volume", "coolant inside", "mL", lower=0, upper=5000),
        F("max_pressure", "highest pressure allowed, gauge", "bar", lower=0.05, upper=20),
    ),
)
