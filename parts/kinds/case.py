"""The case, with its places for radiators and fans."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind
from .rules import not_more
from .shared import BOARD_SIZES


def _depth(name, label):
    return F(name, label, "mm", lower=0, upper=400, needed_by=("stack",),
             help=_("From the mounting face to the first thing in the way."))  # fmt: skip


def _places(name, label):
    return F(name, label, many=True, pattern=r"[1-9]×\d{2,3}", example="3×120, 2×140", needed_by=("stack",),
             help=_("Number and frame size of the fans, as in 3×120, 2×140; one entry for each choice."))  # fmt: skip


CASE = Kind(
    key="case",
    label=_("case"),
    words=("chassis", "housing", "tower", "gehäuse", "boîtier", "caja", "behuizing", "chassi"),
    brief=("board_sizes", "front_places", "graphics_length"),
    facts=(
        F("board_sizes", _("boards that fit"), many=True, choices=BOARD_SIZES, needed_by=("form factor",)),
        F("length", _("outside length"), "mm", lower=50, upper=1500),
        F("width", _("outside width"), "mm", lower=50, upper=1000),
        F("height", _("outside height"), "mm", lower=50, upper=1500),
        _places("front_places", _("front places")),
        _depth("front_depth", _("free depth at the front place")),
        _places("top_places", _("top places")),
        _depth("top_depth", _("free depth at the top place")),
        _places("rear_places", _("rear places")),
        _depth("rear_depth", _("free depth at the rear place")),
        _places("bottom_places", _("bottom places")),
        _depth("bottom_depth", _("free depth at the bottom place")),
        _places("side_places", _("side places")),
        _depth("side_depth", _("free depth at the side place")),
        F("graphics_length", _("longest graphics board"), "mm", lower=50, upper=600, needed_by=("graphics length",)),
        F("panel_thickness", _("panel thickness"), "mm", lower=0.3, upper=10, needed_by=("screws",)),
        F("drives_35", _("places for 3.5-inch drives"), "count", lower=0, upper=40, needed_by=("drives",)),
        F("drives_25", _("places for 2.5-inch drives"), "count", lower=0, upper=40, needed_by=("drives",)),
    ),
    rules=(
        not_more("front_depth", "length"),
        not_more("rear_depth", "length"),
        not_more("top_depth", "height"),
        not_more("bottom_depth", "height"),
        not_more("side_depth", "width"),
    ),
)
