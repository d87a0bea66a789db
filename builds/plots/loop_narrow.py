"""The tall layout: the tube runs down through the components and comes back beside itself."""

from .loop_parts import Placed, closed_tube, words
from .loop_shapes import arrow
from .svg import TEXT, label, shortened, stack

WIDTH = 352
BACK, DOWN = 14, 68  # x of the returning and of the descending tube
BODY = (72, 56)
WORDS_AT = DOWN + BODY[0] / 2 + 14
COOLANT_AT = DOWN + 16
GAP = 46  # between two components, room for arrow and temperature
TOP = 14


def draw(stations):
    """(width, height, svg) of the loop, px."""
    placed, top = [], TOP
    for station in stations:
        lines = words(station, WIDTH - WORDS_AT - 4)
        spot = Placed(station, DOWN, 0, *BODY, lines)
        room = max(BODY[1], spot.words_height)
        placed.append(Placed(station, DOWN, top + GAP + room / 2, *BODY, lines))
        top += GAP + room
    bottom = top + GAP
    tube = closed_tube(BACK, TOP, DOWN, bottom, (DOWN - BACK) / 2)
    marks = [arrow(BACK, (TOP + bottom) / 2, "up"), arrow(DOWN, bottom - GAP / 2, "down")]
    return WIDTH, bottom + 14, tube + "".join(marks) + "".join(map(_station, placed))


def _station(spot):
    room = max(spot.height, spot.words_height)
    above = spot.y - room / 2 - GAP / 2
    coolant = shortened(spot.station.coolant, WIDTH - COOLANT_AT - 4)
    told = label(COOLANT_AT, above + 6, coolant, size=TEXT, class_="coolant") if coolant else ""
    name = stack(WORDS_AT, spot.y - spot.words_height / 2, spot.words)
    return arrow(DOWN, above + 2, "down") + told + spot.draw() + name
