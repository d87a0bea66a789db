"""A processor: its facts."""

from .base import FactSpec as F
from .base import Kind

PROCESSOR = Kind(
    key="processor",
    label="processor",
    words=("cpu",),
    facts=(
        F(
            "socket",
            "socket",
            help="As the workshop writes it; block and board must agree.",
            needed_by=("socket",),
        ),
        F("heat", "heat given off at full load", "W", lower=0, upper=1500, needed_by=("thermal", "power")),
        F("limit", "highest temperature allowed", "degC", lower=40, upper=120, needed_by=("thermal",)),
        F("cores", "cores", "count", lower=1, upper=256),
        F("base_clock", "base clock", "GHz", lower=0.1, upper=10),
        F("core_voltage", "core voltage", "V", lower=0.3, upper=2.5),
    ),
)
