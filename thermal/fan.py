"""Fans: the curve, its affinity laws, several in parallel or in series."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from .facts import check_facts, fact
from .faults import LoopFault

__all__ = ["Fans", "monotone_slopes"]

RATED_DENSITY = 1.2  # kg/m³, at which fan curves are declared
CURVE_EXPONENT = 1.5


@dataclass(frozen=True, kw_only=True)
class Fans:
    """The fans of one radiator, all alike.

    Either free_flow and max_pressure, then Δp = p0·(1 − (Q/Q0)^1.5) (common approximation), or a measured
    curve of (flow, pressure) points, flows rising; both for one fan at rated speed and 1.2 kg/m³.
    """

    count: int = fact("int", 1, 64, meaning="how many, both layers together")
    free_flow: float | None = fact(
        "m3/s", above=0.0, high=2.0, default=None, meaning="air flow without resistance at rated speed"
    )
    max_pressure: float | None = fact(
        "Pa", above=0.0, high=5000.0, default=None, meaning="static pressure at no flow and rated speed"
    )
    curve: tuple | None = None
    rated_speed: float | None = fact(
        "rpm", above=0.0, high=30000.0, default=None, meaning="speed at which curve and level are declared"
    )
    start_speed: float = fact(
        "1", 0.0, 1.0, default=0.3, meaning="lowest part of rated speed at which it runs",
        check="lower its duty until it stops",
    )  # fmt: skip
    sound_level: float | None = fact(
        "dB", -20.0, 120.0, default=None, meaning="level of one fan at rated speed, as declared"
    )

    def __post_init__(self):
        check_facts(self, "fans.")
        if self.curve is not None:
            object.__setattr__(self, "curve", _whole_curve(self.curve))
            object.__setattr__(self, "free_flow", self.curve[-1][0])
            object.__setattr__(self, "max_pressure", max(pressure for _, pressure in self.curve))
        for name in ("free_flow", "max_pressure"):
            if getattr(self, name) is None:
                raise LoopFault(f"fans.{name}", "is missing; give it, or a curve of points.")

    def pressure(self, flow):
        """Static pressure [Pa] of one fan at rated speed and 1.2 kg/m³, flow [m³/s] from 0 to free flow.

        >>> fan = Fans(count=1, free_flow=0.03, max_pressure=20.0)
        >>> round(float(fan.pressure(0.015)), 2)
        12.93
        """
        if self.curve is not None:
            return _cubic(flow, *self._pieces)
        part = flow / self.free_flow
        return self.max_pressure * (1.0 - part * np.sqrt(part))

    @property
    def falls(self):
        """Whether the curve falls all the way, so that it meets a radiator once."""
        return self.curve is None or bool(np.all(np.diff([pressure for _, pressure in self.curve]) <= 0.0))

    @cached_property
    def _pieces(self):
        flows, pressures = (np.array(column) for column in zip(*self.curve, strict=True))
        return flows, pressures, monotone_slopes(flows, pressures)


def _whole_curve(points):
    """The points checked, carried to no flow (level) and to no pressure (straight on)."""
    try:
        curve = [(float(flow), float(pressure)) for flow, pressure in points]
    except (TypeError, ValueError):
        raise LoopFault("fans.curve", "is not a list of pairs of flow and pressure.") from None
    flows, pressures = np.array(curve).reshape(-1, 2).T
    if len(curve) < 3 or not np.all(np.isfinite(curve)):
        raise LoopFault("fans.curve", "needs at least three points with numbers that can be used.")
    if np.any(np.diff(flows) <= 0.0) or flows[0] < 0.0:
        raise LoopFault("fans.curve", "needs its points in the order of rising flow, from 0 up.")
    if np.any(pressures < 0.0) or pressures[0] <= 0.0:
        raise LoopFault("fans.curve", "needs a pressure above 0 Pa at its first point and none below 0 Pa.")
    if flows[0] > 0.0:
        curve.insert(0, (0.0, curve[0][1]))
    (before, higher), (last, lower) = curve[-2:]
    if lower > 0.0:
        if higher <= lower:
            raise LoopFault("fans.curve", "must fall at its end; add the point of free flow at 0 Pa.")
        curve.append((last + lower * (last - before) / (higher - lower), 0.0))
    return tuple(curve)


def monotone_slopes(x, y):
    """Slopes at the points of a cubic that keeps each stretch monotone. x rising, y: 1-D, three or more.

    Inner points: weighted harmonic mean of the neighbouring slopes, 0 at a turn; ends one-sided. Source:
    F. N. Fritsch, J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300.
    """
    step, rise = np.diff(x), np.diff(y) / np.diff(x)
    before, after = 2.0 * step[1:] + step[:-1], step[1:] + 2.0 * step[:-1]
    same = rise[:-1] * rise[1:] > 0.0
    safe = np.where(same, rise[:-1], 1.0), np.where(same, rise[1:], 1.0)
    inner = np.where(same, (before + after) / (before / safe[0] + after / safe[1]), 0.0)
    return np.concatenate(([_end_slope(step, rise)], inner, [_end_slope(step[::-1], rise[::-1])]))


def _end_slope(step, rise):
    slope = ((2.0 * step[0] + step[1]) * rise[0] - step[0] * rise[1]) / (step[0] + step[1])
    if slope * rise[0] <= 0.0:
        return 0.0
    if rise[0] * rise[1] <= 0.0 and abs(slope) > 3.0 * abs(rise[0]):
        return 3.0 * rise[0]
    return slope


def _cubic(at, x, y, slope):
    """The piecewise cubic through points x, y with slopes, held at its ends."""
    at = np.clip(at, x[0], x[-1])
    left = np.clip(np.searchsorted(x, at, side="right") - 1, 0, len(x) - 2)
    step = x[left + 1] - x[left]
    part = (at - x[left]) / step
    rest = 1.0 - part
    ends = y[left] * (1.0 + 2.0 * part) * rest * rest + y[left + 1] * part * part * (3.0 - 2.0 * part)
    return ends + step * part * rest * (slope[left] * rest - slope[left + 1] * part)
