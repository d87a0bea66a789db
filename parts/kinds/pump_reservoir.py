"""What the catalogue knows of a pump reservoir."""

from django.utils.translation import gettext_lazy as _

from . import shared
from .base import Kind

PUMP_RESERVOIR = Kind(
    key="pump_reservoir",
    label=_("pump-reservoir unit"),
    words=(
        "pump reservoir", "pump-res", "combo", "pump and reservoir", "pump combo", "pumpe mit ausgleichsbehälter",
        "pompe réservoir",
    ),
    brief=("max_flow", "max_pressure_head", "volume", "height"),
    facts=(*shared.PUMP, *shared.RESERVOIR),
)  # fmt: skip
