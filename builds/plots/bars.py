"""Horizontal bars, each under its own words: heat by radiator, hours by task, a cost and its shares."""

from dataclasses import dataclass

from .axes import Scale
from .svg import LINE, SMALL, TEXT, label, number, picture, shape, shortened, text_width

EDGE = 4
THICK = 12
ROW = TEXT * LINE + THICK + 16


@dataclass(frozen=True)
class Bar:
    """One bar.

    label: what it is. text: its value in words, as in "231 W · 195–260".
    value, low, high, against: in one unit, ≥ 0; low and high draw a range, against a notch (as hours quoted).
    """

    label: str
    value: float
    text: str
    low: float | None = None
    high: float | None = None
    against: float | None = None

    @property
    def furthest(self):
        return max(v for v in (self.value, self.high, self.against, 0) if v is not None)


def bars(title, rows, desc="", width=520, keys=None):
    """Draw `Bar`s to one common scale that starts at zero.

    keys: words for what the signs mean, as in {"bar": "logged", "against": "quoted", "range": "10–90 %"}.
    desc: what it shows in words; by default each bar's label and text.
    """
    signs, top = _keys(keys or {}, width)
    scale = Scale(0, max([row.furthest for row in rows], default=0) or 1, EDGE, width - EDGE)
    body = signs + "".join(_row(row, scale, top + place * ROW) for place, row in enumerate(rows))
    told = desc or "; ".join(f"{row.label}: {row.text}" for row in rows)
    return picture(width, top + len(rows) * ROW, body, kind="bars", title=title, desc=told)


def _row(row, scale, top):
    baseline, room = top + TEXT, scale.end - scale.start
    name = shortened(row.label, room - text_width(row.text) - 12)
    drawn = label(EDGE, baseline, name) + label(scale.end, baseline, row.text, anchor="end", class_="dim")
    return drawn + _signs(row, scale, top + TEXT * LINE + 4)


def _signs(row, scale, y):
    over = row.against is not None and row.value > row.against
    drawn = shape("rect", class_="track", x=EDGE, y=y, width=scale.end - EDGE, height=THICK, fill="none")
    drawn += _bar(EDGE, y, scale(row.value) - EDGE, over)
    if row.low is not None and row.high is not None:
        drawn += _range(scale(row.low), scale(row.high), y)
    if row.against is not None:
        drawn += _notch(scale(row.against), y)
    return drawn


def _bar(x, y, width, over=False):
    class_ = "bar over" if over else "bar"
    return shape("rect", class_=class_, x=x, y=y, width=width, height=THICK, fill="currentColor")


def _range(low, high, y):
    ends = "".join(f"M{number(x)} {number(y + 1)}v{THICK - 2}" for x in (low, high))
    d = f"M{number(low)} {number(y + THICK / 2)}H{number(high)}{ends}"
    return shape("path", class_="range", d=d, fill="none", stroke="currentColor", stroke_width=1.5)


def _notch(x, y):
    d = f"M{number(x)} {number(y - 3)}v{THICK + 6}"
    return shape("path", class_="notch", d=d, fill="none", stroke="currentColor", stroke_width=2.5)


def _keys(keys, width):
    signs = {
        "bar": lambda x, y: _bar(x, y, 24),
        "against": lambda x, y: _notch(x + 12, y),
        "range": lambda x, y: _range(x, x + 24, y),
    }
    drawn, x, y = [], EDGE, 6
    for sign, word in keys.items():
        needs = 32 + text_width(word, SMALL) + 18
        if x > EDGE and x + needs - 18 > width:
            x, y = EDGE, y + 24
        drawn.append(signs[sign](x, y) + label(x + 32, y + THICK - 2, word, size=SMALL, class_="dim"))
        x += needs
    return "".join(drawn), (y + THICK + 14) if drawn else 0
