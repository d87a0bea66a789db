"""What the catalogue knows of a tube."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind
from .rules import not_more

MATERIALS = (
    "PETG", "acrylic cast", "acrylic extruded", "PVC soft", "PVC rigid", "EPDM", "glass", "copper", "brass",
    "stainless",
)  # fmt: skip

TUBE = Kind(
    key="tube",
    label=_("tube"),
    unit="m",
    words=("tubing", "hose", "hardline", "hard tube", "soft tube", "rohr", "schlauch", "tuyau", "tubo", "slang"),
    brief=("outside", "bore", "material"),
    sized=("outside", "bore"),
    facts=(
        F("bore", _("bore"), "mm", lower=3, upper=30, needed_by=("thermal", "tube")),
        F("outside", _("outside diameter"), "mm", lower=5, upper=40, needed_by=("tube",)),
        F("material", _("material"), choices=MATERIALS, needed_by=("plastics", "metals")),
        F("bend_radius", _("smallest bend radius"), "mm", lower=0, upper=300,
          help=_("To the middle of the tube.")),
    ),
    rules=(not_more("bore", "outside", strictly=True),),
)  # fmt: skip
