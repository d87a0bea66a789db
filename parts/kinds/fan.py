"""A fan: its facts."""

from .base import FactSpec as F
from .base import Kind

FAN = Kind(
    key="fan",
    label="fan",
    words=("fans", "ventilator"),
    facts=(
        F("size", "frame size", "mm", lower=40, upper=220, needed_by=("stack", "thermal")),
        F("thickness", "thickness", "mm", lower=8, upper=60, needed_by=("stack",)),
        F("rated_speed", "rated speed", "rpm", lower=100, upper=10000, needed_by=("thermal",)),
        F("start_speed", "lowest speed that starts it, of rated", "1", lower=0, upper=1),
        F("free_flow", "free air flow", "m3/h", lower=1, upper=1500, needed_by=("thermal",)),
        F("max_pressure", "highest static pressure", "Pa", lower=0.1, upper=500, needed_by=("thermal",)),
        F("sound_level", "sound level at rated speed", "dB", lower=0, upper=90, needed_by=("thermal",)),
        F("current", "current on its label", "A", lower=0.01, upper=5),
    ),
)
