"""The case, with its places for radiators and fans."""

from django.utils.translation import gettext_lazy as _

from .base import FactSpec as F
from .base import Kind
from .rules import not_more
from .shared import BOARD_SIZES, PLACES


def _depth(name, label):
    return F(name, label, "mm", lower=0, upper=400, needed_by=("stack",),
             help=_("From the mounting face to the first thing in the way."))  # fmt: skip


def _places(name, label):
    return F(name, label, many=True, pattern=r"[1-9]×\d{2,3}", example="3×120, 2×140", needed_by=("stack",),
             help=_("Number and frame size of the fans, as in 3×120, 2×140; one entry for each choice."))  # fmt: skip


def _clear(name, label):
    return F(name, label, "mm", lower=50, upper=1500, needed_by=("corners",),
             help=_("From corner to corner, where radiator and stack can lie."))  # fmt: skip


CASE = Kind(
    key="case",
    label=_("case"),
    words=("chassis", "housing", "tower", "gehäuse", "boîtier", "caja", "behuizing", "chassi"),
    brief=("board_sizes", "front_places", "graphics_length"),
    measures=("graphics_length",),
    sized=("front_places", "top_places", "bottom_places", "side_places", "rear_places"),
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
        _clear("front_length", _("clear length of the front place")),
        _clear("top_length", _("clear length of the top place")),
        _clear("rear_length", _("clear length of the rear place")),
        _clear("bottom_length", _("clear length of the bottom place")),
        F("board_gap", _("from the top place down to the board's upper edge"), "mm", lower=0, upper=200,
          needed_by=("corners",)),
        F("board_offset", _("from the board's face out to the top place's fans"), "mm", lower=0, upper=200,
          needed_by=("corners",), help=_("A stack deeper than the gap hangs beside the board, over the memory.")),
        F("graphics_length", _("longest graphics board"), "mm", lower=50, upper=600, needed_by=("graphics length",)),
        F("panel_thickness", _("panel thickness"), "mm", lower=0.3, upper=10, needed_by=("screws",)),
        F("drives_35", _("places for 3.5-inch drives"), "count", lower=0, upper=40, needed_by=("drives",)),
        F("drives_25", _("places for 2.5-inch drives"), "count", lower=0, upper=40, needed_by=("drives",)),
        F("cage_at", _("drive cage stands at"), choices=PLACES,
          help=_("The place whose radiator needs the cage out.")),
        F("drives_35_left", _("3.5-inch places once the cage is out"), "count", lower=0, upper=40),
        F("drives_25_left", _("2.5-inch places once the cage is out"), "count", lower=0, upper=40),
        F("drive_height", _("highest 2.5-inch drive"), "mm", lower=5, upper=30, needed_by=("drives",)),
        F("drives_on_metal", _("drives lie on bare metal"), "yes"),
    ),
    rules=(
        not_more("front_depth", "length"),
        not_more("rear_depth", "length"),
        not_more("top_depth", "height"),
        not_more("bottom_depth", "height"),
        not_more("side_depth", "width"),
        not_more("drives_35_left", "drives_35"),
        not_more("drives_25_left", "drives_25"),
    ),
)  # fmt: skip
