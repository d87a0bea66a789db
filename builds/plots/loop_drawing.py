"""The loop drawing: a copper tube through the components in loop order, with what each one does."""

from . import loop_narrow, loop_wide
from .loop_parts import Station, in_order
from .loop_shapes import arrow, component
from .svg import SMALL, label, picture, text_width

__all__ = ["Station", "in_order", "loop_drawing"]


def loop_drawing(stations, title, desc="", legend=None, narrow=False):
    """Draw the loop.

    stations: `Station`s in the order in which coolant passes them, at least one.
    title, desc: the picture's name and its text alternative (by default `in_order`).
    legend: {kind: word} for the kinds that want explaining, {"flow": word} for the arrow.
    narrow: the tall layout, legible on a page of 390 px.
    """
    stations = tuple(stations)
    if not stations:
        raise ValueError("stations: a loop has at least one component")
    width, height, body = (loop_narrow if narrow else loop_wide).draw(stations)
    if legend:
        drawn, more = _legend(stations, legend, width, height)
        body, height = body + drawn, height + more
    kind = "loop narrow" if narrow else "loop"
    return picture(width, height, body, kind=kind, title=title, desc=desc or in_order(stations))


def _legend(stations, legend, width, top):
    """The symbols with their words, in rows below the drawing; (svg, height)."""
    drawn, x, y = [], 8, top + 26
    shown = [kind for kind in dict.fromkeys(s.kind for s in stations) if kind in legend]
    for kind in [*shown, "flow"] if "flow" in legend else shown:
        needs = 42 + text_width(legend[kind], SMALL) + 18
        if x > 8 and x + needs > width:
            x, y = 8, y + 32
        sign = arrow(x + 17, y, "right") if kind == "flow" else component(kind, x + 17, y, 34, 24)
        drawn.append(sign + label(x + 42, y + 4, legend[kind], size=SMALL, class_="dim"))
        x += needs
    return "".join(drawn), (y + 20 - top) if drawn else 0
