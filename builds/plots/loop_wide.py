"""The wide layout: a ring with at most four components above and four below, the others at its sides.

Components above and below are labelled outside the ring, those at its sides inside, and the coolant's
temperature stands where the tube runs straight: so each label has a place that no other can reach.
"""

from dataclasses import dataclass

from .loop_parts import Placed, closed_tube, words
from .loop_shapes import arrow
from .svg import TEXT, label, shortened, stack, stack_height, text_width

WIDTH = 760
LEFT, RIGHT = 44, 716
BEND = 36
ROW_BODY = (88, 60)
SIDE_BODY = (64, 104)
BESIDE = 14  # from a shape to its label
GAP = 48  # between two labels at a side, room for arrow and temperature
SIDE_WORDS, ROW_WORDS = 250, 260  # widest labels

_FILLED = "LRTBTTBBTB"  # where the first, second, … component adds a place; then left and right in turn
_WAY = {"top": "right", "right": "down", "bottom": "left", "left": "up"}


@dataclass(frozen=True)
class Piece:
    """A straight run of tube with nothing on it; start and end (px) in the direction of flow."""

    side: str
    start: float
    end: float
    across: float

    @property
    def length(self):
        return abs(self.end - self.start)

    def holds(self, text):
        return self.length >= (text_width(text) + 10 if self.side in {"top", "bottom"} else TEXT + 12)

    def mark(self, text):
        """The flow arrow in its middle and the coolant's temperature beside that."""
        middle, way = (self.start + self.end) / 2, _WAY[self.side]
        if self.side in {"top", "bottom"}:
            drawn, room = arrow(middle, self.across, way), self.length - 6
            spot = (middle, self.across + (22 if self.side == "bottom" else -13), "middle")
        else:
            drawn, room = arrow(self.across, middle, way), SIDE_WORDS
            spot = (self.across + (16 if self.side == "left" else -16), middle + 5, None)
            if self.side == "right":
                spot = (*spot[:2], "end")
        x, y, anchor = spot
        text = shortened(text, room)
        return drawn + (label(x, y, text, anchor=anchor, class_="coolant") if text else "")


def draw(stations):
    """(width, height, svg) of the loop, px."""
    sides = _sides(stations)
    top, bottom, height = _levels(sides)
    ring = [
        *_row(sides["top"], "top", top),
        *_column(sides["right"], "right", top, bottom),
        *reversed(_row(sides["bottom"], "bottom", bottom)),
        *reversed(_column(sides["left"], "left", top, bottom)),
    ]
    body = closed_tube(LEFT, top, RIGHT, bottom, BEND) + _marks(ring)
    body += "".join(spot.draw() + _named(spot, side) for side, spot in ring if side)
    return WIDTH, height, body


def shares(count):
    """How many of `count` components go to the left, top, right and bottom.

    >>> shares(1), shares(6), shares(14)
    ((1, 0, 0, 0), (1, 3, 1, 1), (3, 4, 3, 4))
    """
    taken = (_FILLED + "LR" * count)[:count]
    return tuple(taken.count(side) for side in "LTRB")


def _sides(stations):
    """Each side's stations with their labels: rows from the left, columns from the top.

    The first station is the uppermost at the left; the coolant goes on clockwise.
    """
    _left, top, right, bottom = shares(len(stations))
    rest = stations[1:]
    cut = {
        "top": rest[:top],
        "right": rest[top : top + right],
        "bottom": rest[top + right : top + right + bottom][::-1],
        "left": (stations[0], *rest[top + right + bottom :][::-1]),
    }
    widths = {
        "left": SIDE_WORDS,
        "right": SIDE_WORDS,
        "top": min((RIGHT - LEFT) / max(top, 1) - 12, ROW_WORDS),
        "bottom": min((RIGHT - LEFT) / max(bottom, 1) - 12, ROW_WORDS),
    }
    return {side: [(s, words(s, widths[side])) for s in found] for side, found in cut.items()}


def _levels(sides):
    """The y of the ring's top and bottom, and the picture's height."""
    above, below = (max((stack_height(lines) for _s, lines in sides[side]), default=0) for side in ("top", "bottom"))
    top = above + ROW_BODY[1] / 2 + 16 if sides["top"] else 32
    inside = max(sum(_slots(sides[s])) + GAP * (len(sides[s]) + 1) for s in ("left", "right"))
    bottom = top + max(inside, 110) + 2 * BEND
    return top, bottom, bottom + (below + ROW_BODY[1] / 2 + 18 if sides["bottom"] else 32)


def _slots(column):
    """Heights that the components of a column take with their labels."""
    return [max(SIDE_BODY[1], stack_height(lines)) for _station, lines in column]


def _row(found, side, y):
    """Pieces of tube and stations from left to right as (None, Piece) and (side, Placed)."""
    cell = (RIGHT - LEFT) / max(len(found), 1)
    row, at = [], LEFT + BEND
    for place, (station, lines) in enumerate(found):
        x = LEFT + cell * (place + 0.5)
        row.append((None, Piece(side, at, x - ROW_BODY[0] / 2, y)))
        row.append((side, Placed(station, x, y, *ROW_BODY, lines)))
        at = x + ROW_BODY[0] / 2
    return [*row, (None, Piece(side, at, RIGHT - BEND, y))]


def _column(found, side, top, bottom):
    """Pieces of tube and stations from the top down, as in `_row`."""
    x = LEFT if side == "left" else RIGHT
    slots, at, end = _slots(found), top + BEND, bottom - BEND
    gap = (end - at - sum(slots)) / (len(found) + 1)
    column = []
    for (station, lines), slot in zip(found, slots, strict=True):
        column.append((None, Piece(side, at, at + gap, x)))
        column.append((side, Placed(station, x, at + gap + slot / 2, *SIDE_BODY, lines)))
        at += gap + slot
    return [*column, (None, Piece(side, at, end, x))]


def _marks(ring):
    """An arrow and the coolant's temperature on the best piece of tube before each station."""
    start = next(i for i, (side, _spot) in enumerate(ring) if side)
    drawn, pieces = [], []
    for side, spot in [*ring[start + 1 :], *ring[: start + 1]]:
        if not side:
            pieces.append(spot)
            continue
        text = spot.station.coolant
        best = max(pieces, key=lambda piece: (piece.holds(text), piece.length))
        drawn.append(best.mark(text))
        pieces = []
    return "".join(drawn)


def _named(spot, side):
    """The label: outside the ring above and below it, inside at its sides."""
    if side == "top":
        return stack(spot.x, spot.y - spot.height / 2 - 8 - spot.words_height, spot.words, anchor="middle")
    if side == "bottom":
        return stack(spot.x, spot.y + spot.height / 2 + 8, spot.words, anchor="middle")
    away = spot.width / 2 + BESIDE
    top = spot.y - spot.words_height / 2
    if side == "left":
        return stack(spot.x + away, top, spot.words)
    return stack(spot.x - away, top, spot.words, anchor="end")
