"""A log's column of times as seconds since its first row, however they are written. Pure."""

import re
from datetime import date

import numpy as np
from django.utils.translation import gettext as _

from .log_file import numbers

SECONDS = {"s": 1.0, "min": 60.0, "h": 3600.0, "ms": 1e-3}
DAY = 86400.0
_CLOCK = r"(\d{1,3}):(\d\d)(?::(\d\d(?:[.,]\d+)?))?(?:\s*([AaPp])\.?[Mm]\.?)?(?:\s*(?:Z|[-+]\d\d:?\d\d))?"
_DATE = r"(\d{1,4})([-./])(\d{1,2})\2(\d{1,4})"
CLOCK, DATED, DATE = (re.compile(text) for text in (_CLOCK, rf"{_DATE}[T ,;]+{_CLOCK}", _DATE))
NUMBER = re.compile(r"[-+]?\d+(?:[.,]\d+)?(?:[eE][-+]?\d+)?")


class TimeDoubt(ValueError):
    """The times cannot be read without a doubt; `str()` names it."""


def read_times(cells, unit="s", dates=None, first_line=1):
    """Seconds since the first row, NaN for an empty cell; a clock that goes past midnight goes on.

    unit: what plain numbers count, a key of SECONDS. dates: cells of a column of dates beside the clock. Raises
    TimeDoubt for two ways of writing the time in one log, or for none that is known.
    """
    if dates is not None:
        cells = tuple(f"{day} {clock}".strip() for day, clock in zip(dates, cells, strict=True))
    form = _form(next((cell for cell in cells if cell.strip()), ""))
    if form is None:
        raise TimeDoubt(_("The column matched as time holds no times; match another, or none is kept in this log."))
    if form is NUMBER:
        values = _counted(cells, unit, first_line)
    else:
        values = _written(cells, form, first_line)
    known = values[np.isfinite(values)]
    return values - known[0] if len(known) else values


def _form(cell):
    """How a cell writes the time: NUMBER, CLOCK, DATED, or None."""
    return next((form for form in (NUMBER, CLOCK, DATED) if form.fullmatch(cell.strip())), None)


def _counted(cells, unit, first_line):
    values, _unit = numbers(cells)
    lost = [n for n in np.flatnonzero(np.isnan(values)) if cells[n].strip()]
    if lost:
        _two_ways(cells, lost[0], first_line)
    largest = float(np.nanmax(values))
    if largest > 1e11:  # milliseconds since 1970
        return values * 1e-3
    return values * (1.0 if largest > 1e9 else SECONDS[unit])


def _written(cells, form, first_line):
    """Seconds of cells that write a clock, perhaps with a date."""
    fields = _cut(cells, form) or _matched(cells, form, first_line)
    clock = fields[-4] * 3600.0 + fields[-3] * 60.0 + fields[-2]
    if form is CLOCK:
        if fields[-1]:
            text = _("“%(cell)s” may be hours and minutes or minutes and seconds; log the time as 0:05:30.")
            raise TimeDoubt(text % {"cell": next(cell for cell in cells if cell.strip())})
        return _past_midnight(clock)
    mark, year_first = fields[3], fields[4]
    keys, place = np.unique(fields[0] * 1e8 + fields[1] * 1e4 + fields[2], return_inverse=True)
    known = keys[np.isfinite(keys)]
    dates = [(int(key // 1e8), int(key // 1e4 % 1e4), int(key % 1e4)) for key in known]
    days = np.full(len(keys), np.nan)
    days[: len(known)] = _days(dates, ["ymd"] if year_first else ["dmy"] if mark == "." else ["dmy", "mdy"])
    return days[place] * DAY + clock


def _cut(cells, form):
    """The fields of cells that all have their digits and marks in the same places, cut out at once; None otherwise.

    Returns [three parts of the date, its mark, whether the year is first,] hours, minutes, seconds, and whether a
    clock came without seconds.
    """
    first = form.fullmatch(cells[0].strip())
    if first is None or cells[0] != cells[0].strip() or len(set(map(len, cells))) > 1 or not cells[0].isascii():
        return None
    joined = "".join(cells)
    if not joined.isascii() or first[first.re.groups]:  # halves of the day are letters that change
        return None
    table = np.frombuffer(joined.encode(), np.uint8).reshape(len(cells), -1)
    digit = (table[0] >= 48) & (table[0] <= 57)
    if np.any(table[:, ~digit] != table[0, ~digit]) or np.any((table[:, digit] < 48) | (table[:, digit] > 57)):
        return None

    def of(group):
        start, end = first.span(group)
        return sum((table[:, n] - 48.0) * 10.0 ** (end - 1 - n) for n in range(start, end))

    date_parts = [of(1), of(3), of(4), first[2], len(first[1]) == 4] if form is DATED else []
    hours = first.re.groups - 3
    return [*date_parts, of(hours), of(hours + 1), _fraction(table, first.span(hours + 2)), first[hours + 2] is None]


def _fraction(table, span):
    """Seconds with decimals, from their columns of digits."""
    start, end = span
    if start < 0:
        return np.zeros(len(table))
    whole = (table[:, start] - 48.0) * 10.0 + (table[:, start + 1] - 48.0)
    return whole + sum((table[:, n] - 48.0) * 10.0 ** (start + 2 - n) for n in range(start + 3, end))


def _matched(cells, form, first_line):
    """The same fields as `_cut`, cell by cell."""
    found = [form.fullmatch(cell.strip()) for cell in cells]
    lost = next((n for n, one in enumerate(found) if one is None and cells[n].strip()), None)
    if lost is not None:
        _two_ways(cells, lost, first_line)
    groups = [one.groups() if one else None for one in found]
    clocks = np.array([(np.nan,) * 3 if one is None else _clock(one[-4:]) for one in groups])
    without_seconds = any(one and one[-2] is None and not one[-1] for one in groups)
    fields = [*clocks.T, without_seconds]
    if form is CLOCK:
        return fields
    shapes = [one and (one[1], len(one[0]) == 4) for one in groups]
    shape = next(one for one in shapes if one)
    other = next((n for n, one in enumerate(shapes) if one and one != shape), None)
    if other is not None:
        _two_ways(cells, other, first_line)
    dates = np.array([(np.nan,) * 3 if one is None else (int(one[0]), int(one[2]), int(one[3])) for one in groups])
    return [*dates.T, *shape, *fields]


def _clock(clock):
    hours, minutes, seconds, half = clock
    hours = int(hours)
    if half:
        hours = hours % 12 + (12 if half in "pP" else 0)
    return float(hours), float(minutes), float(seconds.replace(",", ".")) if seconds else 0.0


def _past_midnight(values):
    """A clock without a date that falls by more than twelve hours has passed midnight."""
    falls = np.concatenate([[0.0], np.diff(values)]) < -DAY / 2
    return values + DAY * np.cumsum(falls)


def _days(dates, ways):
    """Day numbers of dates, in the way of writing that suits them all; of two ways the one with the shorter log."""
    found = []
    for way in ways:
        try:
            found.append([_day(key, way) for key in dates])
        except ValueError:
            continue
    if not found:
        raise TimeDoubt(_("The dates of this log are no dates of any calendar; look at the column of times."))
    return min(found, key=np.ptp)


def _day(key, way):
    found = dict(zip(way, map(int, key), strict=True))
    year = found["y"] + 2000 if found["y"] < 100 else found["y"]
    return date(year, found["m"], found["d"]).toordinal()


def _two_ways(cells, index, first_line):
    told = {"first": next(cell for cell in cells if cell.strip()), "line": first_line + index, "other": cells[index]}
    raise TimeDoubt(
        _("The time is written in two ways: “%(first)s” first, “%(other)s” in line %(line)d. Two logs may lie in one "
          "file; send them apart.") % told
    )  # fmt: skip
