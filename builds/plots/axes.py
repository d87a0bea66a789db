"""Axes: nice ticks, a scale from data to pixels, and how an axis is written."""

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, floor, isfinite, log10

from .svg import SMALL, label, number, shape, text_width


def plainly(value):
    """A tick's text: as few decimals as it needs.

    >>> plainly(20.0), plainly(0.5), plainly(0.30000000000000004)
    ('20', '0.5', '0.3')
    """
    text = f"{value:.10g}"
    return "0" if text == "-0" else text


@dataclass(frozen=True)
class Axis:
    """What an axis shows.

    label: quantity and unit, as in "coolant over room, K".
    low, high: the least range to show, in data units; the data and whole ticks may widen it.
    text: how a tick's value is written, for local decimals ("40 %", "12,5").
    """

    label: str = ""
    low: float | None = None
    high: float | None = None
    text: Callable[[float], str] = plainly


@dataclass(frozen=True)
class Scale:
    """Data from low to high onto pixels from start to end."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value):
        """The pixel of a value; what lies outside is held at the border."""
        held = min(max(value, self.low), self.high)
        return self.start + (held - self.low) / (self.high - self.low) * (self.end - self.start)


def nice_step(span, about):
    """The step of 1, 2 or 5 times a power of ten that gives about `about` steps over `span`.

    >>> nice_step(30, 5), nice_step(0.9, 4), nice_step(100, 3)
    (5.0, 0.2, 50.0)
    """
    rough = span / max(about, 1)
    power = 10.0 ** floor(log10(rough))
    return power * next(step for step in (1, 2, 5, 10) if rough <= step * power * 1.2)


def nice_ticks(low, high, about=5):
    """Ticks at whole steps that cover low to high.

    >>> nice_ticks(7, 28, 5)
    (5.0, 10.0, 15.0, 20.0, 25.0, 30.0)
    """
    low, high = apart(low, high)
    step = nice_step(high - low, about)
    first, last = floor(low / step + 1e-9), ceil(high / step - 1e-9)
    return tuple(i * step for i in range(first, last + 1))


def apart(low, high):
    """Two bounds that differ, so that a scale has a length."""
    if high > low:
        return low, high
    margin = abs(low) * 0.1 or 1
    return low - margin, low + margin


def bounds(axis, values):
    """Range of an axis over its data: what the data need and at least what the axis asks for."""
    found = [v for v in values if v is not None and isfinite(v)]
    found += [v for v in (axis.low, axis.high) if v is not None]
    return apart(min(found), max(found)) if found else (0, 1)


def upright(axis, scale, ticks, x, *, anchor, width=None):
    """Tick texts of a vertical axis at x; with `width`, rules across the plot too."""
    drawn = []
    for tick in ticks:
        y = scale(tick)
        if width is not None:
            drawn.append(shape("path", class_="grid", d=f"M{number(x + 8)} {number(y)}h{number(width)}",
                               stroke="currentColor", stroke_width=1))  # fmt: skip
        drawn.append(label(x, y + 4, axis.text(tick), size=SMALL, anchor=anchor, class_="dim"))
    return "".join(drawn)


def level(axis, scale, y, right):
    """A horizontal axis at y with as many ticks as fit without touching, and its name at the right below."""
    ticks = _that_fit(axis, scale)
    base = f"M{number(scale.start)} {number(y)}H{number(scale.end)}"
    base += "".join(f"M{number(scale(t))} {number(y)}v4" for t in ticks)
    drawn = [shape("path", class_="axis", d=base, fill="none", stroke="currentColor", stroke_width=1)]
    for tick in ticks:
        text = axis.text(tick)
        x = min(scale(tick), right - text_width(text, SMALL) / 2)
        drawn.append(label(x, y + 18, text, size=SMALL, anchor="middle", class_="dim"))
    if axis.label:
        drawn.append(label(scale.end, y + 35, axis.label, size=SMALL, anchor="end", class_="dim"))
    return "".join(drawn)


def _that_fit(axis, scale):
    """Ticks inside the scale, fewer until their texts leave room between them."""
    for about in (6, 5, 4, 3, 2, 1):
        ticks = [t for t in nice_ticks(scale.low, scale.high, about) if scale.low <= t <= scale.high]
        widest = max((text_width(axis.text(t), SMALL) for t in ticks), default=0)
        if len(ticks) < 2 or widest + 12 <= scale(ticks[1]) - scale(ticks[0]):
            return ticks
    return ticks
