"""What the catalogue knows of a graphics."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind
from .shared import HEAT, LIMIT, POWER_CONNECTORS

GRAPHICS = Kind(
    key="graphics",
    label=_("graphics board"),
    words=("gpu", "graphics", "graphics card", "video card", "grafikkarte", "carte graphique", "scheda video"),
    brief=("board_design", "heat", "length"),
    facts=(
        F(
            "board_design", _("board design code"), needed_by=("board design",), example="K2-short",
            help=_("The code of the printed board, not the model's name: sister models may differ."),
        ),
        HEAT,
        LIMIT,
        F("length", _("length"), "mm", lower=50, upper=600, needed_by=("graphics length",)),
        F("sense", _("what its 16-pin plug must announce"), "W", lower=150, upper=600,
          help=_("The sense rating it asks for; its load is taken when this is not known.")),
        F("slots", _("slots taken"), "count", lower=1, upper=6),
        POWER_CONNECTORS,
    ),
)  # fmt: skip
