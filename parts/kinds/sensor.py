"""What the catalogue knows of a sensor."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind
from .shared import PORT_THREAD, REFERENCE_DROP, REFERENCE_FLOW, WETTED_METALS

SENSOR = Kind(
    key="sensor",
    label=_("sensor"),
    words=("flow meter", "temperature sensor", "fühler", "durchflusssensor", "capteur", "sonde"),
    brief=("measures", "port_thread"),
    facts=(
        F("measures", _("what it measures"), choices=("temperature", "flow", "level", "pressure")),
        PORT_THREAD,
        WETTED_METALS,
        REFERENCE_FLOW,
        REFERENCE_DROP,
    ),
)
