"""The soak test: how long a loop takes to settle, when a log is steady, and what happens when something fails."""

import math
from dataclasses import dataclass

import numpy as np

from .component import Reservoir
from .faults import LoopFault
from .loop import Factors, solve

__all__ = [
    "Steady", "coolant_volume", "find_steady", "heat_capacity", "least_minutes", "settling", "time_constant", "what_if",
]  # fmt: skip

# Copper and plastic; masses of parts whose shape is not known: typical.
COPPER_DENSITY, COPPER_HEAT = 8940.0, 385.0  # kg/m³, J/(kg K)
PLASTIC_HEAT = 1470.0  # J/(kg K)
SECTION_MASS, BLOCK_MASS, RESERVOIR_MASS = 0.25, 0.45, 0.5  # kg: a radiator's frame a section, a block, a tank
TIME_CONSTANTS, LEAST_SECONDS = 5.0, 1800.0
WINDOW_SECONDS, DRIFT, ROOM_DRIFT = 600.0, 0.3, 3.0  # s, K in a time constant, K an hour
LOAD_CHANGE, SPEED_CHANGE = 0.05, 0.03


def coolant_volume(loop):
    """Coolant in the loop [m³]: tubing by its bore, parts as declared or typical."""
    return loop.tubing.area * loop.tubing.length + sum(part.holds for part in loop.components)


def heat_capacity(loop, temperature=30.0):
    """Heat capacity of coolant and wetted parts [J/K].

    Coolant by volume; radiators' metal from their geometry and 0.25 kg a section; 0.45 kg of copper a block;
    0.5 kg of plastic a reservoir. Source: sum of m·c; the masses are typical.
    """
    coolant = loop.coolant.properties(temperature)
    total = coolant_volume(loop) * float(coolant.density * coolant.heat_capacity)
    for radiator in loop.radiators:
        total += (radiator.solid * COPPER_DENSITY + SECTION_MASS * radiator.sections) * COPPER_HEAT
    total += len(loop.blocks) * BLOCK_MASS * COPPER_HEAT
    tanks = sum(isinstance(part, Reservoir) for part in loop.components)
    return total + tanks * RESERVOIR_MASS * PLASTIC_HEAT


def time_constant(result):
    """Seconds in which a loop covers 63 % of a change: τ = ΣC·(T_mean − room)/heat. math.inf without heat.

    A few minutes for a desktop loop; the metal of the case is slower and not in it. Source: a lumped heat
    capacity with a linear loss, any heat transfer text.

    >>> from thermal.document import load_loop
    >>> round(time_constant(solve(load_loop("fixtures/loops/one-radiator.json"))))
    84
    """
    heat = float(result.heat)
    if heat <= 0.0:
        return math.inf
    return heat_capacity(result.loop, float(result.mean)) * float(result.mean_over_room) / heat


def least_minutes(time_constant_seconds):
    """Minutes at one load before a reading can count as steady: five time constants, at least thirty.

    >>> least_minutes(240.0), least_minutes(600.0)
    (30.0, 50.0)
    """
    return max(TIME_CONSTANTS * time_constant_seconds, LEAST_SECONDS) / 60.0


@dataclass(frozen=True)
class Steady:
    """What a soak log shows: steady or not, from when to when [s], the means there, and what is lacking.

    means: {"room", "coolant" and the other columns: mean over the window}; why: "" or one of time, drift, room,
    short.
    """

    steady: bool
    start: float
    end: float
    means: dict
    drift: float  # K in a time constant, of coolant over room
    room_drift: float  # K an hour
    waited: float  # s since the load or a speed last changed
    needed: float  # s
    why: str = ""


def find_steady(times, room, coolant, time_constant_seconds, loads=(), speeds=(), others=None):
    """Steady of a log, judged at its end.

    times [s] rising; room and coolant [°C]; loads [W] and speeds (any unit): sequences of columns that must hold
    still (to 5 % and 3 %); others: {name: column} to average too. All columns are of one length. Raises
    LoopFault for columns that do not fit or are not finite.
    """
    times, room, coolant = (np.asarray(column, dtype=float) for column in (times, room, coolant))
    others = {name: np.asarray(column, dtype=float) for name, column in (others or {}).items()}
    moving = [(np.asarray(column, dtype=float), LOAD_CHANGE) for column in loads]
    moving += [(np.asarray(column, dtype=float), SPEED_CHANGE) for column in speeds]
    _refuse_columns(times, [room, coolant, *others.values(), *(column for column, _ in moving)])
    end = times[-1]
    length = max(WINDOW_SECONDS, 2.0 * time_constant_seconds)
    window = times >= end - length
    changed = max((_last_change(times, column, window, part) for column, part in moving), default=times[0])
    waited, needed = end - changed, 60.0 * least_minutes(time_constant_seconds)
    drift = abs(_slope(times[window], coolant[window] - room[window])) * time_constant_seconds
    room_drift = abs(_slope(times[window], room[window])) * 3600.0
    columns = {"room": room, "coolant": coolant} | others
    means = {name: float(column[window].mean()) for name, column in columns.items()}
    why = ""
    if end - times[0] < length or window.sum() < 5:
        why = "short"
    elif waited < needed:
        why = "time"
    elif drift > DRIFT:
        why = "drift"
    elif room_drift > ROOM_DRIFT:
        why = "room"
    start = float(times[window][0])
    return Steady(why == "", start, float(end), means, float(drift), float(room_drift), float(waited), needed, why)


def settling(times, values):
    """(final value, time constant [s]) of a settling y = a + b·exp(−t/τ) in a log; None when it shows none.

    times [s] rising, values of one length. Fitted without a first guess and without steps: the integral of the
    differential equation, y = a·t/τ − S(t)/τ + c with S the running integral, is linear in its three unknowns.
    Source: integral-equation fit of exponentials, any text on regression; noise averages out in S.

    >>> t = np.arange(0.0, 3600.0, 2.0)
    >>> final, tau = settling(t, 31.0 - 9.0 * np.exp(-t / 300.0))
    >>> round(final, 2), round(tau)
    (31.0, 300)
    """
    times, values = np.asarray(times, dtype=float), np.asarray(values, dtype=float)
    if len(times) < 10 or np.ptp(values) == 0.0:
        return None
    steps = np.diff(times)
    running = np.concatenate([[0.0], np.cumsum(0.5 * (values[1:] + values[:-1]) * steps)])
    elapsed = times - times[0]
    terms = np.column_stack([elapsed, running, np.ones_like(elapsed)])
    (slope, rate, _first), *_rest = np.linalg.lstsq(terms, values, rcond=None)
    if rate >= 0.0 or -1.0 / rate > elapsed[-1]:
        return None
    return float(-slope / rate), float(-1.0 / rate)


def _refuse_columns(times, columns):
    if times.ndim != 1 or len(times) < 2 or not np.all(np.diff(times) > 0.0):
        raise LoopFault("time", "must rise from line to line, in at least two lines.")
    for column in columns:
        if column.shape != times.shape:
            raise LoopFault("log", "has columns of different length.")
        if not np.all(np.isfinite(column)):
            raise LoopFault("log", "holds a reading that is not a number; leave that line out.")


def _last_change(times, column, window, part):
    """When a column last lay further than a part of its level at the end away from that level."""
    level = float(np.median(column[window]))
    away = np.abs(column - level) > part * max(abs(level), 1e-9)
    return float(times[np.flatnonzero(away)[-1]]) if np.any(away) else float(times[0])


def _slope(times, values):
    """Slope of the straight line fitted to values, a second."""
    if len(times) < 2:
        return 0.0
    centred = times - times.mean()
    return float((centred * (values - values.mean())).sum() / (centred * centred).sum())


def what_if(loop):
    """{(what, name): Result or LoopFault} of the usual mishaps, worked out anew.

    ("fan stopped", radiator): one of its fans stands still, and its section with it (of two layers too, which is
    on the safe side); ("half pump speed", ""); ("room 10 K warmer", ""); ("dust", ""): air flow 20 % less.
    """
    cases = {}
    for radiator in loop.radiators:
        if radiator.stopped < radiator.columns:
            stopped = {radiator.name: {"stopped": radiator.stopped + 1}}
            cases["fan stopped", radiator.name] = lambda changes=stopped: solve(loop.with_parts(**changes))
    halves = {pump.name: {"speed": 0.5 * pump.speed} for pump in loop.pumps}
    cases["half pump speed", ""] = lambda: solve(loop.with_parts(**halves))
    cases["room 10 K warmer", ""] = lambda: solve(loop, Factors(room=10.0))
    cases["dust", ""] = lambda: solve(loop, Factors(air_flow=0.8))
    return {key: _answer(case) for key, case in cases.items()}


def _answer(case):
    try:
        return case()
    except LoopFault as fault:
        return fault
