"""A tube: its facts."""

from .base import FactSpec as F
from .base import Kind

TUBE = Kind(
    key="tube",
    label="tube",
    unit="m",
    words=("tubing", "hose", "hardline"),
    facts=(
        F("bore", "bore", "mm", lower=3, upper=30, needed_by=("thermal", "tube")),
        F("outside", "outside diameter", "mm", lower=5, upper=40, needed_by=("tube",)),
        F(
            "material",
            "material",
            choices=(
                "PETG",
                "acrylic cast",
                "acrylic extruded",
                "PVC soft",
                "PVC rigid",
                "EPDM",
                "glass",
                "copper",
                "brass",
                "stainless",
            ),
            needed_by=("plastics",),
        ),
        F("bend_radius", "smallest bend radius", "mm", lower=0, upper=300),
    ),
)
