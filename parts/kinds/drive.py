"""A drive: its facts."""

from .base import FactSpec as F
from .base import Kind

DRIVE = Kind(
    key="drive",
    label="drive",
    words=("ssd", "hdd", "storage", "nvme", "disk"),
    facts=(
        F("form", "form", choices=("M.2", "2.5-inch", "3.5-inch")),
        F("capacity", "capacity", "GB", lower=1, upper=200000),
        F("height", "height", "mm", lower=1, upper=50),
    ),
)
