"""A pump-reservoir unit: its facts."""

from .base import FactSpec as F
from .base import Kind

PUMP_RESERVOIR = Kind(
    key="pump_reservoir",
    label="pump-reservoir unit",
    words=("pump reservoir", "pump-res", "combo", "pump and reservoir"),
    facts=(
        F("max_flow", "highest flow", "L/min", lower=0.5, upper=60, needed_by=("thermal",)),
        F("max_pressure_head", "highest pressure", "kPa", lower=1, upper=300, needed_by=("thermal",)),
        F("heat", "heat into the coolant", "W", lower=0, upper=100, needed_by=("thermal",)),
        F("sound_level", "sound level", "dB", lower=0, upper=90),
        F("max_coolant", "warmest coolant allowed", "degC", lower=30, upper=95, needed_by=("thermal",)),
        F("volume", "coolant inside", "mL", lower=0, upper=5000),
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
        F("max_pressure", "highest pressure allowed, gauge", "bar", lower=0.05, upper=20),
        F("height", "height", "mm", lower=20, upper=600),
        F("top_inlet", "has an inlet in its top", "yes"),
    ),
)
