"""A ribbon of time: what arrives when, today, the forecast and the promise over one run of dates."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta

from .axes import Scale
from .svg import SMALL, TEXT, hexagon, label, number, picture, shape, shortened, text_width

EDGE = 10
LANE = 26
AWAY = 14  # from a sign to its words
KINDS = ("arrival", "late", "forecast", "promise", "other")


@dataclass(frozen=True)
class Happening:
    """Something on a day, or from a day until another.

    label: the words, its date among them, as in "pump, 3 Dec".
    kind: one of KINDS, drawn as a sign of its own.
    """

    day: date
    label: str
    kind: str = "arrival"
    until: date | None = None


def shortly(day):
    """A day as in "3 Dec"."""
    return f"{day.day} {day:%b}"


def ribbon(title, happenings, today, desc="", width=760, today_text="today", day_text: Callable = shortly):
    """Draw happenings over a run of days that holds them all and today.

    today_text, day_text: the word for today, and how a date is written under the ribbon.
    desc: what it shows in words; by default the happenings in order.
    Words share a lane only where they leave each other room, so nothing ever meets.
    """
    ordered = sorted(happenings, key=lambda h: (h.day, h.until or h.day))
    scale = _scale(ordered, today, width)
    placed, lanes = _lanes([_Spot.of(h, scale, width) for h in ordered])
    base = 30 + lanes * LANE + 6
    body = _today(scale(today.toordinal()), base, today_text, width)
    body += "".join(spot.draw(32 + lane * LANE + LANE / 2) for lane, spot in placed)
    body += _tube(scale, today, base) + _dates(scale, base, day_text, width)
    told = desc or "; ".join(h.label for h in ordered)
    return picture(width, base + 36, body, kind="ribbon", title=title, desc=told)


@dataclass(frozen=True)
class _Spot:
    """A happening with its pixels: sign from x to x_until, words from `left` to `right` px."""

    what: Happening
    x: float
    x_until: float
    words: str
    words_x: float
    anchor: str | None

    @classmethod
    def of(cls, what, scale, width):
        x = scale(what.day.toordinal())
        end = scale(what.until.toordinal()) if what.until else x
        after, before = width - end - AWAY - 2, x - AWAY - 2
        if text_width(what.label) <= after or after >= before:
            return cls(what, x, end, shortened(what.label, after), end + AWAY, None)
        return cls(what, x, end, shortened(what.label, before), x - AWAY, "end")

    @property
    def left(self):
        return self.words_x - text_width(self.words) if self.anchor else self.x - 8

    @property
    def right(self):
        return self.x_until + 8 if self.anchor else self.words_x + text_width(self.words)

    def draw(self, y):
        start = self.words_x - (text_width(self.words) + 2 if self.anchor else 2)
        behind = shape("rect", class_="behind", x=start, y=y - 9, width=text_width(self.words) + 4,
                       height=18, fill="none")  # fmt: skip
        told = label(self.words_x, y + 5, self.words, anchor=self.anchor, class_=self.what.kind)
        return behind + self._sign(y) + told

    def _sign(self, y):
        span = ""
        if self.x_until > self.x:
            d = f"M{number(self.x)} {number(y)}H{number(self.x_until)}"
            span = shape("path", class_="span", d=d, stroke="currentColor", stroke_width=5)
        return span + _sign(self.what.kind, self.x_until, y)


def _sign(kind, x, y):
    """An arrival is a fitting, a late one is crossed out, the forecast is open, the promise a post."""
    if kind == "promise":
        foot = f"M{number(x - 5)} {number(y + 10)}h10"
        d = f"M{number(x)} {number(y - 10)}v20M{number(x - 5)} {number(y - 10)}h10{foot}"
        return shape("path", class_="sign promise", d=d, fill="none", stroke="currentColor", stroke_width=2.2)
    full = kind in {"arrival", "late"}
    drawn = hexagon(x, y, 7, class_=f"sign {kind}", fill="currentColor" if full else "none",
                    stroke="currentColor", stroke_width=2)  # fmt: skip
    if kind == "late":
        d = f"M{number(x - 10)} {number(y + 8)}L{number(x + 10)} {number(y - 8)}"
        drawn += shape("path", class_="sign late", d=d, stroke="currentColor", stroke_width=2)
    return drawn


def _scale(ordered, today, width):
    days = [today, *(h.day for h in ordered), *(h.until for h in ordered if h.until)]
    first, last = min(days).toordinal(), max(days).toordinal()
    if last - first < 14:
        last = first + 14
    return Scale(first, last, EDGE, width - EDGE)


def _lanes(spots):
    """Each spot with the first lane that has room for it; ([(lane, spot)], lanes used)."""
    ends, placed = [], []
    for spot in sorted(spots, key=lambda s: s.left):
        lane = next((i for i, end in enumerate(ends) if end + 12 <= spot.left), len(ends))
        if lane == len(ends):
            ends.append(0)
        ends[lane] = spot.right
        placed.append((lane, spot))
    return placed, len(ends)


def _today(x, base, text, width):
    half = text_width(text, TEXT) / 2
    d = f"M{number(x)} 22V{number(base)}"
    line = shape("path", class_="today", d=d, stroke="currentColor", stroke_width=1.5, stroke_dasharray="3 3")
    return line + label(min(max(x, half + 2), width - half - 2), 16, text, anchor="middle", class_="today")


def _tube(scale, today, y):
    def piece(class_, start, end):
        return shape("line", class_=class_, x1=start, x2=end, y1=y, y2=y, stroke="currentColor", stroke_width=4)

    now = scale(today.toordinal())
    return piece("pipe", scale.start, scale.end) + piece("run", scale.start, now)


def _dates(scale, base, day_text, width):
    """Dates under the ribbon: weeks while they fit, else months."""
    first, last = date.fromordinal(int(scale.low)), date.fromordinal(int(scale.high))
    drawn, taken = [], 0.0
    for day in _even_days(first, last, max(int(width // 80), 2)):
        x, text = scale(day.toordinal()), day_text(day)
        half = text_width(text, SMALL) / 2
        middle = min(max(x, half + 2), width - half - 2)
        if middle - half < taken:
            continue
        taken = middle + half + 10
        tick = shape("path", class_="axis", d=f"M{number(x)} {number(base + 3)}v5", stroke="currentColor")
        drawn.append(tick + label(middle, base + 24, text, size=SMALL, anchor="middle", class_="dim"))
    return "".join(drawn)


def _even_days(first, last, most):
    """Mondays, or every second, fourth … one, at most `most` of them; firsts of months beyond half a year."""
    if (last - first).days > 190:
        months = (date.fromordinal(n) for n in range(first.toordinal(), last.toordinal() + 1))
        return [day for day in months if day.day == 1]
    mondays = []
    day = first + timedelta(days=-first.weekday() % 7)
    while day <= last:
        mondays.append(day)
        day += timedelta(days=7)
    return mondays[:: max(-(-len(mondays) // most), 1)]
