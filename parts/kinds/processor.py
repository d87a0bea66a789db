"""What the catalogue knows of a processor."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind
from .shared import HEAT, LIMIT, SOCKET

PROCESSOR = Kind(
    key="processor",
    label=_("processor"),
    words=("cpu", "prozessor", "processeur", "procesador", "processore"),
    brief=("socket", "heat", "limit"),
    facts=(
        SOCKET,
        HEAT,
        LIMIT,
        F("cores", _("cores"), "count", lower=1, upper=256),
        F("base_clock", _("base clock"), "GHz", lower=0.1, upper=10),
        F("core_voltage", _("core voltage"), "V", lower=0.3, upper=2.5),
    ),
)
