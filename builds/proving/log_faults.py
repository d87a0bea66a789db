"""What makes a soak log doubtful: each doubt named, none of them counted as a pass. Pure, on Columns."""

from dataclasses import dataclass

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from .soak import COOLANT

STUCK_AT = (0.0, 127.0, -127.0, 255.0)  # what sensors and their buses read when there is no sensor; common practice
STUCK_ROWS = 3  # fewer in a row are a dropped reading, left out and said
GAP_TIMES, GAP_SECONDS = 10.0, 60.0  # a gap: ten usual steps and at least a minute
LOST_PART = 0.05  # of the rows that may be left out
SEEN = {"room": (-5.0, 50.0), COOLANT: (-5.0, 99.0), "part": (-5.0, 130.0)}  # °C
WARMED_K = 3.0
NAMES = {"room": gettext_lazy("the room"), COOLANT: gettext_lazy("the coolant")}


@dataclass(frozen=True)
class Looked:
    """doubts: why the log cannot be judged. notes: what was done to it. columns: the rows that can be used."""

    doubts: tuple
    notes: tuple
    columns: object


def look_over(columns):
    """The Looked of a log's Columns: its clock, then its sensors, then what stands in which column."""
    doubts, notes = [], list(columns.notes)
    keep = np.isfinite(columns.times)
    doubts += _clock(columns.times[keep], columns.lines[keep], columns.start)
    for name, values in _temperatures(columns).items():
        dropped = _dropped(values)
        doubts += _stuck(name, values, dropped, columns)
        keep &= np.isfinite(values) & ~dropped
    for values in (*columns.loads.values(), *columns.speeds.values()):
        keep &= np.isfinite(values)
    used = _rows(columns, keep)
    doubts += _lost(keep, notes)
    if len(used.times) < 5:
        return Looked((*doubts, _("Fewer than five rows of the log hold all that is asked.")), tuple(notes), used)
    out = list(_out_of_bounds(used))
    doubts += out
    if not out and not doubts:
        doubts += _swapped(used)
    return Looked(tuple(doubts), tuple(notes), used)


def _temperatures(columns):
    return {"room": columns.room, COOLANT: columns.coolant, **columns.parts}


def called(name):
    return str(NAMES.get(name, name))


def _clock(times, lines, start):
    steps = np.diff(times)
    back = np.flatnonzero(steps < 0.0)
    if len(back):
        told = {"line": lines[back[0] + 1], "seconds": f"{-steps[back[0]]:.0f}", "n": len(back)}
        yield _("The clock goes backwards by %(seconds)s s in line %(line)d, %(n)d times in all: a clock set anew, or "
                "lines out of order.") % told  # fmt: skip
        return
    usual = float(np.median(steps[steps > 0.0])) if np.any(steps > 0.0) else 0.0
    gaps = np.flatnonzero(steps > max(GAP_TIMES * usual, GAP_SECONDS))
    if len(gaps):
        told = {"line": lines[gaps[0]], "min": f"{steps[gaps].max() / 60.0:.0f}", "n": len(gaps),
                "after": f"{(start + times[gaps[-1] + 1]) / 60.0:.1f}"}  # fmt: skip
        yield _("The log has gaps, %(n)d in all, the first after line %(line)d, the longest of %(min)s min: nobody "
                "knows what happened there. Judge what comes after the last one, from minute %(after)s on, or log "
                "again."
                ) % told  # fmt: skip


def _dropped(values):
    return np.isin(values, STUCK_AT)


def _stuck(name, values, dropped, columns):
    run = _longest_run(dropped)
    if run >= STUCK_ROWS:
        at = values[dropped][0]
        told = {"sensor": called(name), "value": f"{at:.0f}", "n": int(dropped.sum()),
                "line": columns.lines[np.flatnonzero(dropped)[0]]}  # fmt: skip
        yield _("The sensor of %(sensor)s reads %(value)s in %(n)d rows, first in line %(line)d: stuck, or not "
                "connected.") % told  # fmt: skip
        return
    known = values[np.isfinite(values) & ~dropped]
    others = [v for other, v in _temperatures(columns).items() if other not in (name, "room")]
    moved = max((np.nanmax(v) - np.nanmin(v) for v in others if np.any(np.isfinite(v))), default=0.0)
    if name != "room" and len(known) >= 100 and np.ptp(known) == 0.0 and moved > WARMED_K:
        told = {"sensor": called(name), "value": f"{known[0]:.1f}", "moved": f"{moved:.1f}"}
        yield _("The sensor of %(sensor)s stays at %(value)s °C from first to last row while another moves by "
                "%(moved)s K: stuck.") % told  # fmt: skip


def _longest_run(flags):
    if not np.any(flags):
        return 0
    edges = np.flatnonzero(np.diff(np.concatenate([[0], flags.astype(np.int8), [0]])))
    return int((edges[1::2] - edges[::2]).max())


def _lost(keep, notes):
    lost = int((~keep).sum())
    if lost > LOST_PART * len(keep):
        yield _("%(lost)d of %(n)d rows lack a reading of a matched column: too many to judge by.") % {
            "lost": lost, "n": len(keep)}  # fmt: skip
    elif lost:
        notes.append(_("%(lost)d of %(n)d rows lack a reading and were left out.") % {"lost": lost, "n": len(keep)})


def _out_of_bounds(columns):
    for name, values in _temperatures(columns).items():
        low, high = SEEN.get(name, SEEN["part"])
        outside = (values < low) | (values > high)
        if not np.any(outside):
            continue
        told = {"sensor": called(name), "low": f"{values.min():.1f}", "high": f"{values.max():.1f}",
                "line": columns.lines[np.flatnonzero(outside)[0]]}  # fmt: skip
        text = _("%(sensor)s runs from %(low)s to %(high)s °C, first outside all sense in line %(line)d.") % told
        middle = float(np.median(values))
        if name == "room" and 55.0 < middle < 110.0:
            text += " " + _("That looks like °F: say so where the columns are matched.")
        else:
            text += " " + _("Another column, or a sensor that is not connected.")
        yield text[:1].upper() + text[1:]


def _swapped(columns):
    """Of the last tenth: the room is coolest and no part is cooler than the coolant that cools it."""
    last = slice(-max(5, len(columns.times) // 10), None)
    room, coolant = columns.room[last].mean(), columns.coolant[last].mean()
    if room > coolant + 0.5:
        told = {"room": f"{room:.1f}", "coolant": f"{coolant:.1f}"}
        yield _("The room reads %(room)s °C and the coolant %(coolant)s °C: under load the coolant is the warmer one. "
                "Are the two columns swapped?") % told  # fmt: skip
    for name, values in columns.parts.items():
        if values[last].mean() < coolant - 1.0:
            told = {"part": name, "t": f"{values[last].mean():.1f}", "coolant": f"{coolant:.1f}"}
            yield _("%(part)s reads %(t)s °C, cooler than the coolant at %(coolant)s °C: swapped columns, or its load "
                    "was off.") % told  # fmt: skip


def _rows(columns, keep):
    """The same Columns, these rows alone; rows logged at one time are spread evenly until the next time."""

    def cut(values):
        return None if values is None else values[keep]

    def tables(found):
        return {name: values[keep] for name, values in found.items()}

    return type(columns)(
        _spread(columns.times[keep]), cut(columns.lines), cut(columns.room), cut(columns.coolant),
        tables(columns.parts), tables(columns.loads), tables(columns.speeds), cut(columns.flow), columns.notes,
        columns.start, columns.paces,
    )  # fmt: skip


def _spread(times):
    """Times that rise, where a logger writes whole seconds and reads more often."""
    first = np.concatenate([[True], times[1:] != times[:-1]])
    if np.all(first) or len(times) < 2:
        return times
    starts = np.flatnonzero(first)
    counts = np.diff(np.append(starts, len(times)))
    steps = np.diff(times[starts])
    steps = np.append(steps, np.median(steps) if len(steps) else 1.0)
    place = np.arange(len(times)) - np.repeat(starts, counts)
    return times + place * np.repeat(steps / counts, counts)
