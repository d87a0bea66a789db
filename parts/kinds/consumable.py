"""What the catalogue knows of a consumable."""

from django.utils.translation import gettext_lazy as _

from .base import Kind

CONSUMABLE = Kind(
    key="consumable",
    label=_("consumable"),
    words=("paste", "thermal paste", "pads", "thermal pad", "sleeve", "screws", "wärmeleitpaste", "verbrauchsmaterial"),
)
