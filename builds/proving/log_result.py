"""What a soak log says: where it is steady, the readings a person would have typed, its lines for a picture. Pure."""

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from django.utils.translation import gettext as _

from thermal.soak import find_steady, settling

from .soak import COOLANT, FANS, LEAST_CONSTANT_MIN, PUMP, SPEEDS, UNKNOWN_CONSTANT_MIN

MOST_POINTS = 500
RATED_WITHIN = 1.1  # a fan may turn so much faster than its rated speed; common practice of data sheets
SMOOTH_SECONDS = 60.0  # load and speed scatter from reading to reading; a minute's mean holds still or does not
SEEN_SETTLING = 10.0  # a rise of this many times its own noise can be fitted
FITTED_CONSTANTS = 7.0  # stretch of the log that the fit looks at
MOST_CONSTANTS = 6.0  # a slower constant than this many times the loop's own is the room or the case, not the loop


@dataclass(frozen=True)
class LogResult:
    """What result_of finds.

    measured: {reading: value} as the soak test asks for, None where the log cannot say.
    lines: [{name, reading, points}], at most MOST_POINTS (minutes, value) each; a name is "room", "coolant" or a
    part's label; all but the room's are kelvin over the room.
    window: minutes from and to which it was averaged. constant_min: as the log settles, or None.
    """

    measured: dict
    lines: list
    window: tuple
    constant_min: float | None
    numbers: tuple

    def slower(self, machine):
        """The machine held to the time constant that the log shows, where that is longer than the loop's own."""
        own = machine.time_constant_min or 0.0
        return replace(machine, time_constant_min=max(own, self.constant_min)) if self.constant_min else machine


def result_of(columns, machine, load_w=None):
    """The LogResult of Columns without doubts. load_w: where no column holds the load."""
    own_min = max(machine.time_constant_min or UNKNOWN_CONSTANT_MIN, LEAST_CONSTANT_MIN)
    loads = [_smooth(columns.times, sum(columns.loads.values()))] if columns.loads else []
    speeds = [_smooth(columns.times, values) for values in columns.speeds.values()]
    others = {**columns.parts, **({"flow": columns.flow} if columns.flow is not None else {})}
    found = find_steady(columns.times, columns.room, columns.coolant, own_min * 60.0, loads, speeds, others)
    since = found.end - found.waited
    fitted = _settling(columns, since, own_min)
    measured = _readings(columns, machine, found)
    measured["load"] = float(loads[0][columns.times >= found.start].mean()) if loads else load_w
    told = [(_("rows of the log"), len(columns.times), "count"), (_("time at this load"), found.waited / 60.0, "min")]
    if fitted:
        told.append((_("time constant, as the log settles"), fitted, "min"))
    if "flow" in found.means and machine.flow:
        measured["flow"] = found.means["flow"]
    elif "flow" in found.means:
        told.append((_("flow"), found.means["flow"], "L/min"))
    measured |= _paced(columns, machine, found)
    measured = {name: value and round(float(value), 2) for name, value in measured.items()}
    return LogResult(measured, lines_of(columns, machine), (found.start / 60.0, found.end / 60.0), fitted, tuple(told))


def _readings(columns, machine, found):
    """The second reading is where the straight line through the last stretch ends, the first where it begins."""
    window = columns.times >= found.start
    times = columns.times[window]
    room_1, room = _ends(times, columns.room[window])
    rise_1, rise = _ends(times, (columns.coolant - columns.room)[window])
    measured = {
        "minutes": found.waited / 60.0, "between": max((times[-1] - times[0]) / 60.0, 1.0),
        "room_1": room_1, "coolant_1": room_1 + rise_1, "room": room, COOLANT: room + rise,
    }  # fmt: skip
    for p in machine.predicted:
        if p.label in columns.parts:
            over = (columns.parts[p.label] - columns.room)[window].mean()
            measured[p.name] = float(room + over)
    return measured


def _paced(columns, machine, found):
    """{FANS or PUMP: percent of rated} over the last stretch, where the log names a unit and the spec a rated speed."""
    window, paced = columns.times >= found.start, {}
    for target, reading, rated in (("fan", FANS, machine.fan_rpm), ("pump", PUMP, None)):
        full = {"%": 100.0, "rpm": rated}
        means = [100.0 * columns.speeds[name][window].mean() / full[unit]
                 for name, (what, unit) in columns.paces.items() if what == target and full.get(unit)]  # fmt: skip
        low, high = SPEEDS
        if means and low <= np.mean(means) <= high * RATED_WITHIN:
            paced[reading] = min(float(np.mean(means)), high)
    return paced


def _ends(times, values):
    """The values of the fitted straight line at both ends."""
    centred = times - times.mean()
    spread = float((centred * centred).sum())
    slope = float((centred * (values - values.mean())).sum()) / spread if spread else 0.0
    return float(values.mean() + slope * centred[0]), float(values.mean() + slope * centred[-1])


def _settling(columns, since, own_min):
    """Minutes of the time constant that the coolant's rise shows since the load began, or None where it shows none."""
    long = FITTED_CONSTANTS * own_min * 60.0
    found = None
    for _pass in range(2):  # the second over just so many of the constants found: what drifts later is not the loop
        part = (columns.times >= since) & (columns.times <= since + long)
        step = max(1, int(part.sum()) // 5000)
        times, rise = columns.times[part][::step], (columns.coolant - columns.room)[part][::step]
        found = settling(times, rise)
        if found is None:
            return None
        long = FITTED_CONSTANTS * found[1]
    final, seconds = found
    noise = float(np.std(np.diff(rise))) / np.sqrt(2.0)
    moved = abs(final - float(np.median(rise[: max(3, len(rise) // 200)])))
    return (
        seconds / 60.0 if moved > max(SEEN_SETTLING * noise, 1.0) and seconds <= MOST_CONSTANTS * own_min * 60 else None
    )


def _smooth(times, values):
    """The running mean over the last minute."""
    total = np.concatenate([[0.0], np.cumsum(values)])
    first = np.searchsorted(times, times - SMOOTH_SECONDS, side="left")
    last = np.arange(1, len(times) + 1)
    return (total[last] - total[first]) / (last - first)


def lines_of(columns, machine=None):
    """The columns as lines of few points, temperatures of coolant and parts over the room."""
    readings = {p.label: p.name for p in machine.predicted} if machine else {}
    shown = {COOLANT: columns.coolant - columns.room}
    shown |= {label: values - columns.room for label, values in columns.parts.items()}
    shown["room"] = columns.room
    minutes = columns.times / 60.0
    return [
        {"name": name, "reading": readings.get(name, name), "points": reduced(minutes, values)}
        for name, values in shown.items()
    ]


def reduced(times, values, most=MOST_POINTS):
    """At most `most` of the points, [[time, value]]: first, last, and the lowest and highest of equal stretches.

    No peak is lost: the extremes of the whole are among those of its stretches.
    """
    times, values = np.asarray(times, dtype=float), np.asarray(values, dtype=float)
    count = len(values)
    if count <= most:
        kept = np.arange(count)
    else:
        edges = np.linspace(0, count, (most - 2) // 2 + 1).astype(int)
        ends = [(a + int(np.argmin(values[a:b])), a + int(np.argmax(values[a:b]))) for a, b in pairwise(edges)]
        kept = np.unique(np.concatenate([[0, count - 1], np.array(ends).ravel()]))
    return [[round(float(t), 3), round(float(v), 3)] for t, v in zip(times[kept], values[kept], strict=True)]


def lacking(result, machine):
    """What the soak test asks for and the log does not tell, in words."""
    names = [p.label for p in machine.predicted if p.name not in result.measured]
    return names + ([] if result.measured.get("load") else [_("the load: type it, or match its column")])
