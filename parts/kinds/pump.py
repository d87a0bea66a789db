"""What the catalogue knows of a pump."""

from django.utils.translation import gettext_lazy as _

from . import shared
from .base import Kind

PUMP = Kind(
    key="pump",
    label=_("pump"),
    words=("pumpe", "pompe", "bomba", "pompa", "pomp"),
    brief=("max_flow", "max_pressure_head", "heat"),
    facts=(*shared.PUMP, shared.VOLUME, shared.MAX_PRESSURE),
)
