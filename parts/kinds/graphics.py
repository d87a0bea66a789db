"""A graphics board: its facts."""

from .base import FactSpec as F
from .base import Kind

GRAPHICS = Kind(
    key="graphics",
    label="graphics board",
    words=("gpu", "graphics", "graphics card", "video card"),
    facts=(
        F(
            "board_design",
            "board design code",
            help="The code of the printed board, not the model's name.",
            needed_by=("board design",),
        ),
        F("heat", "heat given off at full load", "W", lower=0, upper=1500, needed_by=("thermal", "power")),
        F("limit", "highest temperature allowed", "degC", lower=40, upper=120, needed_by=("thermal",)),
        F("length", "length", "mm", lower=50, upper=600, needed_by=("graphics length",)),
        F("slots", "slots taken", "count", lower=1, upper=6),
        F("power_connectors", "power connectors", help="As in 2×3, 2×4, 16-pin.", many=True),
    ),
)
