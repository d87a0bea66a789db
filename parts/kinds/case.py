"""A case: its facts."""

from .base import FactSpec as F
from .base import Kind

CASE = Kind(
    key="case",
    label="case",
    words=("chassis", "housing", "tower"),
    facts=(
        F(
            "board_sizes",
            "boards that fit",
            many=True,
            choices=("Mini-ITX", "microATX", "ATX", "E-ATX"),
            needed_by=("form factor",),
        ),
        F("length", "outside length", "mm", lower=50, upper=1500),
        F("width", "outside width", "mm", lower=50, upper=1000),
        F("height", "outside height", "mm", lower=50, upper=1500),
        F("front_depth", "free depth at the front place", "mm", lower=0, upper=400, needed_by=("stack",)),
        F("top_depth", "free depth at the top place", "mm", lower=0, upper=400, needed_by=("stack",)),
        F("rear_depth", "free depth at the rear place", "mm", lower=0, upper=400, needed_by=("stack",)),
        F("bottom_depth", "free depth at the bottom place", "mm", lower=0, upper=400, needed_by=("stack",)),
        F("side_depth", "free depth at the side place", "mm", lower=0, upper=400, needed_by=("stack",)),
        F("front_places", "front places, as in 3×120, 2×140", many=True, needed_by=("stack",)),
        F("top_places", "top places", many=True, needed_by=("stack",)),
        F("rear_places", "rear places", many=True, needed_by=("stack",)),
        F("bottom_places", "bottom places", many=True, needed_by=("stack",)),
        F("side_places", "side places", many=True, needed_by=("stack",)),
        F(
            "graphics_length",
            "longest graphics board",
            "mm",
            lower=50,
            upper=600,
            needed_by=("graphics length",),
        ),
        F("panel_thickness", "panel thickness", "mm", lower=0.3, upper=10),
        F("drives_35", "places for 3.5-inch drives", "count", lower=0, upper=40),
        F("drives_25", "places for 2.5-inch drives", "count", lower=0, upper=40),
    ),
)
