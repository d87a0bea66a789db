"""Judging an operating point: plain remarks that the checks of a build turn into findings.

All limits are defaults to be edited, common practice of the trade.
"""

from dataclasses import dataclass

import numpy as np

from .radiator import STALL_PART
from .remarks import CAUTION, NOTE, STOP, Remark

__all__ = ["Limits", "coolant_ceiling", "judge", "judge_fault", "thumb_band"]

_LITRES = 60000.0  # L/min of a m³/s
# Heat per 10 K and 120-mm section by fan speed: common practice; straight between the stated speeds.
_THUMB_SPEEDS = (800.0, 1000.0, 1300.0, 1800.0, 2000.0)
_THUMB_LOW = (55.0, 75.0, 75.0, 110.0, 110.0)
_THUMB_HIGH = (90.0, 130.0, 130.0, 180.0, 180.0)


@dataclass(frozen=True, kw_only=True)
class Limits:
    """What a workshop asks of a loop. Temperatures °C, differences K, flows m³/s."""

    good_over_room: float = 10.0
    fair_over_room: float = 15.0
    warm_coolant: float = 45.0
    hottest_coolant: float = 55.0
    plastic_limit: float | None = None  # lowest long-term limit of a plastic in the loop
    plastic_margin: float = 10.0
    component_margin: float = 10.0
    low_flow: float = 2.6 / _LITRES
    least_flow: float = 1.5 / _LITRES


def judge(result, limits=None, spread=None):
    """Remarks on a Result of shape (), stops first.

    spread: {key: (p10, p50, p90)} with the keys "flow", "coolant.max", "components.NAME"; stops are then
    judged on the worse side (90 % of a temperature, 10 % of a flow), cautions always on the point.

    >>> from thermal.document import load_loop
    >>> from thermal.loop import solve
    >>> result = solve(load_loop("fixtures/loops/one-radiator.json"))
    >>> [remark.sentence for remark in judge(result) if remark.rule == "coolant over room"]
    ['The coolant runs 9.1 K over the room: good (to 10 K).']
    """
    limits, spread = limits or Limits(), spread or {}
    remarks = [
        *_trust(result),
        *_coolant(result, limits, spread),
        *_parts(result, limits, spread),
        *_flow(result, limits, spread),
        *_fans(result),
        *_thumb(result),
    ]
    if result.sound_unknown:
        remarks.append(Remark("sound", {"names": ", ".join(result.sound_unknown)}))
    return sorted(remarks, key=lambda remark: (STOP, CAUTION, NOTE).index(remark.severity))


def judge_fault(fault):
    """The stops of a LoopFault: why there is no operating point."""
    return [Remark("no point", {"field": one.field, "what": one.what}) for one in fault.each()]


def thumb_band(radiator):
    """(low, high) heat [W] per 10 K by the rule of thumb, or None outside 800 to 2000 rpm or speed unknown.

    55–90 W a 120-mm section at 800 rpm, 75–130 at 1000–1300, 110–180 at 1800–2000, scaled with the
    section's area; one layer of fans. Source: common practice.
    """
    if radiator.fans.rated_speed is None:
        return None
    speed = radiator.fans.rated_speed * radiator.fan_speed
    if not _THUMB_SPEEDS[0] <= speed <= _THUMB_SPEEDS[-1]:
        return None
    size = radiator.sections * (radiator.section_size / 0.120) ** 2
    return tuple(size * float(np.interp(speed, _THUMB_SPEEDS, band)) for band in (_THUMB_LOW, _THUMB_HIGH))


def _trust(result):
    if not np.all(result.converged):
        yield Remark("unsettled", {"moved": float(result.moved), "residual": float(result.energy_residual)})
    if np.any(result.outside):
        yield Remark("outside", {"warmest": float(result.warmest), "coolest": float(result.coolest)})


def _coolant(result, limits, spread):
    over, warmest = float(result.mean_over_room), float(result.warmest)
    good, fair = limits.good_over_room, limits.fair_over_room
    verdict = "good" if over <= good else "fair" if over <= fair else "warm"
    yield Remark(verdict, {"over": over, "good": good, "fair": fair})
    ceiling, why = coolant_ceiling(result, limits)
    worse = _worse(spread, "coolant.max", warmest, 2)
    if worse > ceiling:
        yield Remark("coolant stop", {"worse": worse, "ceiling": ceiling, "why": why})
    elif warmest > limits.warm_coolant:
        yield Remark("coolant caution", {"warmest": warmest, "warm": limits.warm_coolant})


def coolant_ceiling(result, limits):
    """(warmest coolant allowed [°C], what sets it)."""
    ceilings = [(limits.hottest_coolant, "the workshop's limit")]
    if limits.plastic_limit is not None:
        margin = f"{limits.plastic_margin:g} K under the softest plastic"
        ceilings.append((limits.plastic_limit - limits.plastic_margin, margin))
    ceilings += [(pump.limit, f"limit of {pump.name}") for pump in result.loop.pumps if pump.limit is not None]
    return min(ceilings)


def _parts(result, limits, spread):
    for block in result.loop.blocks:
        temperature = float(result.components[block.name])
        values = {"name": block.name, "temperature": temperature, "limit": block.limit}
        if block.limit is None:
            yield Remark("part unknown", values, block.name)
            continue
        worse = _worse(spread, f"components.{block.name}", temperature, 2)
        if worse > block.limit:
            yield Remark("part stop", values | {"worse": worse}, block.name)
        elif temperature > block.limit - limits.component_margin:
            yield Remark("part caution", values | {"margin": limits.component_margin}, block.name)


def _flow(result, limits, spread):
    flow, worse = float(result.flow), _worse(spread, "flow", float(result.flow), 0)
    if worse < limits.least_flow:
        yield Remark("flow stop", {"worse": worse * _LITRES, "least": limits.least_flow * _LITRES})
    elif flow < limits.low_flow:
        yield Remark("flow caution", {"flow": flow * _LITRES, "low": limits.low_flow * _LITRES})
    for pump in result.loop.pumps:
        if pump.pressure(flow) < 0.0:
            yield Remark("brake", {"name": pump.name}, pump.name)


def _fans(result):
    for radiator in result.loop.radiators:
        name, speed = radiator.name, radiator.fan_speed
        if 0.0 < speed < radiator.fans.start_speed:
            yield Remark("start", {"name": name, "speed": speed, "start": radiator.fans.start_speed}, name)
        part = float(result.radiators[name].fan_part)
        if 0.0 < part < STALL_PART:
            yield Remark("stall", {"name": name, "part": part, "stall": STALL_PART}, name)
        if radiator.draws_from == radiator.blows_to == "case":
            yield Remark("case to case", {"name": name}, name)


def _thumb(result):
    for radiator in result.loop.radiators:
        band = thumb_band(radiator)
        if band is None:
            continue
        model = float(result.radiators[radiator.name].per_ten_kelvin)
        key = "thumb within" if band[0] <= model <= band[1] else "thumb outside"
        values = {"name": radiator.name, "model": model, "low": band[0], "high": band[1]}
        yield Remark(key, values, radiator.name)


def _worse(spread, key, point, side):
    return float(spread[key][side]) if key in spread else point
