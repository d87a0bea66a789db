"""A chart of lines, ranges and measured points over one or two vertical axes."""

from dataclasses import dataclass
from math import isfinite

from .axes import Axis, Scale, bounds, level, nice_ticks, upright
from .svg import SMALL, hexagon, label, number, picture, shape, text_width

__all__ = ["Axis", "Band", "Limit", "Line", "Moment", "Points", "chart"]

EDGE = 8


@dataclass(frozen=True)
class Line:
    """points: ((x, y), …); an empty y (None, NaN) breaks the line. second: on the right-hand axis, dashed."""

    points: tuple
    label: str
    second: bool = False
    dashed: bool = False

    def _stroke(self, d):
        if self.second or self.dashed:
            return _stroke("line second", d, 2.2, "7 4")
        return _stroke("line", d, 2.5, None)

    def ys(self):
        return [y for _x, y in self.points]

    def draw(self, x, y):
        d = "".join(_path(run, x, y) for run in _unbroken(thinned(self.points, abs(x.end - x.start))))
        return self._stroke(d)

    def sample(self, x, y):
        return self._stroke(f"M{number(x)} {number(y)}h24")


@dataclass(frozen=True)
class Band:
    """A range; points: ((x, low, high), …)."""

    points: tuple
    label: str
    second = False

    def ys(self):
        return [y for _x, *both in self.points for y in both]

    def draw(self, x, y):
        upper = _path([(a, high) for a, _low, high in self.points], x, y)
        lower = _path([(a, low) for a, low, _high in reversed(self.points)], x, y)
        return _fill("band", upper + lower.replace("M", "L") + "Z")

    def sample(self, x, y):
        return _fill("band", f"M{number(x)} {number(y - 6)}h24v12h-24Z")


@dataclass(frozen=True)
class Points:
    """Measured points; points: ((x, y), …)."""

    points: tuple
    label: str
    second: bool = False

    def ys(self):
        return [y for _x, y in self.points]

    def draw(self, x, y):
        known = [(a, b) for a, b in thinned(self.points, abs(x.end - x.start) / 4) if _known(b)]
        return "".join(_point(x(a), y(b)) for a, b in known)

    def sample(self, x, y):
        return _point(x + 12, y)


@dataclass(frozen=True)
class Limit:
    """A level that should not be passed, across the whole chart."""

    value: float
    label: str
    second: bool = False
    points = ()

    def ys(self):
        return [self.value]

    def draw(self, x, y):
        return _stroke("limit", f"M{number(x.start)} {number(y(self.value))}H{number(x.end)}", 1.5, "2 3")

    def sample(self, x, y):
        return _stroke("limit", f"M{number(x)} {number(y)}h24", 1.5, "2 3")


@dataclass(frozen=True)
class Moment:
    """A place on the horizontal axis, as in "now, 62 %"; dashed tells a second one apart."""

    at: float
    label: str
    dashed: bool = False
    second = False

    @property
    def dashes(self):
        return "5 3" if self.dashed else None

    @property
    def points(self):
        return ((self.at, None),)

    def ys(self):
        return []

    def draw(self, x, y):
        return _stroke("moment", f"M{number(x(self.at))} {number(y.start)}V{number(y.end)}", 1.5, self.dashes)

    def sample(self, x, y):
        return _stroke("moment", f"M{number(x + 12)} {number(y - 8)}v16", 1.5, self.dashes)


def chart(title, marks, x, y, second=None, desc="", width=520, height=250):
    """Draw marks over their axes; the words for them stand above the plot, so that none meets another.

    marks: Line, Band, Points, Limit and Moment, drawn in this order; bands belong first.
    x, y, second: `Axis`; `second` for marks with second=True.
    width, height: px of the picture; the plot itself is `height` less what words and ticks need.
    desc: what it shows in words.
    """
    keys, top = _keys(marks, width)
    named, top = _axis_names(y, second, width, top)
    sides = [_side(axis, marks, is_second) for is_second, axis in enumerate((y, second)) if axis]
    left, right = EDGE + sides[0][2] + 8, width - EDGE - (sides[1][2] + 8 if second else 4)
    bottom = max(height, top + 120) - (42 if x.label else 26)
    across = Scale(*bounds(x, [p[0] for mark in marks for p in mark.points]), left, right)
    rises = [Scale(ticks[0], ticks[-1], bottom, top) for _axis, ticks, _room in sides]
    body = keys + named + upright(y, rises[0], sides[0][1], left - 8, anchor="end", width=right - left)
    if second:
        body += upright(second, rises[1], sides[1][1], right + 8, anchor=None)
    body += level(x, across, bottom, width)
    body += "".join(mark.draw(across, rises[1 if mark.second else 0]) for mark in marks)
    return picture(width, max(height, top + 120), body, kind="plot", title=title, desc=desc)


def _side(axis, marks, second):
    """(axis, ticks, px that its tick texts take)"""
    values = [v for mark in marks if bool(mark.second) == bool(second) for v in mark.ys()]
    ticks = nice_ticks(*bounds(axis, values))
    return axis, ticks, max(text_width(axis.text(t), SMALL) for t in ticks)


def _keys(marks, width):
    """A sample and the words for each mark, in rows; (svg, y below them)."""
    drawn, left, y = [], EDGE, 12
    for mark in marks:
        if not mark.label:
            continue
        needs = 32 + text_width(mark.label, SMALL) + 18
        if left > EDGE and left + needs - 18 > width:
            left, y = EDGE, y + 22
        drawn.append(mark.sample(left, y) + label(left + 32, y + 4, mark.label, size=SMALL, class_="dim"))
        left += needs
    return "".join(drawn), y + 14 if drawn else 6


def _axis_names(y, second, width, top):
    """The vertical axes' names above their ends, on two rows where they would meet; (svg, y below)."""
    drawn, at = "", top + SMALL
    if y.label:
        drawn += label(EDGE, at, y.label, size=SMALL, class_="dim")
    if second and second.label:
        both = text_width(y.label, SMALL) + text_width(second.label, SMALL)
        at += SMALL * 1.4 if y.label and both + 24 > width - 2 * EDGE else 0
        drawn += label(width - EDGE, at, second.label, size=SMALL, anchor="end", class_="dim")
    return drawn, at + 14


def thinned(points, room):
    """At most about four points a pixel column: of many, the first, lowest, highest and last of each column.

    points: ((x, y), …) in order of x; room: columns, px.
    """
    if len(points) <= 4 * room or not room:
        return points
    size = -(-len(points) // int(room))
    kept = []
    for start in range(0, len(points), size):
        column = range(start, min(start + size, len(points)))
        known = [i for i in column if _known(points[i][1])]
        ends = {column[0], column[-1]}
        if known:
            ends |= {min(known, key=lambda i: points[i][1]), max(known, key=lambda i: points[i][1])}
        kept.extend(points[i] for i in sorted(ends))
    return tuple(kept)


def _known(value):
    return value is not None and isfinite(value)


def _unbroken(points):
    runs, run = [], []
    for a, b in points:
        if _known(b):
            run.append((a, b))
        elif run:
            runs.append(run)
            run = []
    return [*runs, run] if run else runs


def _path(points, x, y):
    return "M" + "L".join(f"{number(x(a))} {number(y(b))}" for a, b in points) if points else ""


def _stroke(class_, d, width, dashes):
    return shape("path", class_=class_, d=d, fill="none", stroke="currentColor", stroke_width=width,
                 stroke_dasharray=dashes, stroke_linejoin="round")  # fmt: skip


def _fill(class_, d):
    return shape("path", class_=class_, d=d, fill="currentColor", fill_opacity=0.18)


def _point(x, y):
    return hexagon(x, y, 4.5, class_="point", fill="none", stroke="currentColor", stroke_width=1.8)
