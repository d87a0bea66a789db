"""What the catalogue knows of a drive."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind

DRIVE = Kind(
    key="drive",
    label=_("drive"),
    words=("ssd", "hdd", "storage", "nvme", "disk", "festplatte", "laufwerk", "disque", "disco", "schijf"),
    brief=("form", "capacity", "height"),
    facts=(
        F("form", _("form"), choices=("M.2", "2.5-inch", "3.5-inch"), needed_by=("drives",)),
        F("capacity", _("capacity"), "GB", lower=1, upper=200000),
        F("height", _("height"), "mm", lower=1, upper=50, needed_by=("drives",)),
    ),
)
