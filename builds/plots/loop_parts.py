"""What both layouts of the loop drawing are made of: stations, their places, tube and labels."""

from dataclasses import dataclass

from .loop_shapes import component
from .svg import HEAD, TEXT, shape, stack_height, wrapped


@dataclass(frozen=True)
class Station:
    """A component in the loop, as it is drawn.

    kind: one of `loop_shapes.KINDS`; any other is drawn as a passive part.
    name, lines: what it is called, and what to write beneath, as in ("57 °C · 50–66",).
    coolant: the coolant's temperature as it enters, short, as in "33.1 °C"; may be empty.
    """

    kind: str
    name: str
    lines: tuple[str, ...] = ()
    coolant: str = ""


@dataclass(frozen=True)
class Placed:
    """A station with its place (px): centre and size of the shape, and its label's lines."""

    station: Station
    x: float
    y: float
    width: float
    height: float
    words: tuple = ()

    def draw(self):
        return component(self.station.kind, self.x, self.y, self.width, self.height)

    @property
    def words_height(self):
        return stack_height(self.words)


def words(station, width):
    """A station's label as lines for `svg.stack`, none wider than `width` px."""
    named = [(text, HEAD, None, True) for text in wrapped(station.name, width, HEAD, head=True, most=3)]
    told = [(text, TEXT, "dim", False) for line in station.lines for text in wrapped(line, width)]
    return (*named, *told)


def closed_tube(left, top, right, bottom, bend):
    """A tube with its bore around a rectangle with rounded corners."""
    place = {"x": left, "y": top, "width": right - left, "height": bottom - top, "rx": bend, "fill": "none"}
    wall = shape("rect", class_="tube", **place, stroke="currentColor", stroke_width=8)
    return wall + shape("rect", class_="bore", **place, stroke="white", stroke_width=3.5)


def in_order(stations):
    """The loop in words that need no translation.

    >>> in_order([Station("pump", "pump", (), "33.1 °C"), Station("block", "processor")])
    'pump (33.1 °C) → processor → pump'
    """
    names = [f"{s.name} ({s.coolant})" if s.coolant else s.name for s in stations]
    return " → ".join([*names, stations[0].name])
