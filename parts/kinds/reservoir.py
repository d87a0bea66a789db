"""What the catalogue knows of a reservoir."""

from django.utils.translation import gettext_lazy as _

from . import shared
from .base import Kind

RESERVOIR = Kind(
    key="reservoir",
    label=_("reservoir"),
    words=("res", "tank", "ausgleichsbehälter", "réservoir", "depósito", "serbatoio"),
    brief=("volume", "height"),
    facts=(*shared.RESERVOIR, *shared.PORTED, shared.WETTED_METALS, shared.WETTED_PLASTICS),
)
