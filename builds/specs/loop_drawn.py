"""The pictures of an operating point: the loop with its temperatures, and the plots."""

import math

from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _

from builds.checks.facts import BLOCKS, PUMPS
from builds.plots.bars import Bar, bars
from builds.plots.chart import Axis, Band, Limit, Line, Moment, Points, chart
from builds.plots.loop_drawing import Station, loop_drawing

from .loop_said import L_MIN, M3_H, between, range_said, said
from .thermal import air_curves, flow_curves

SHAPES = {"pump_reservoir": "pump-reservoir", "pump": "pump", "reservoir": "reservoir", "radiator": "radiator",
          **dict.fromkeys(BLOCKS, "block")}  # fmt: skip

WIDTH = 400  # px: what is written in a plot stays legible on a phone


def drawings(build, point):
    """(wide, narrow) drawings of a loop; empty without components."""
    steps = next((loop.steps for loop in build.loops if loop.name == point.name), ())
    stations = [_station(build, step, point) for step in steps]
    return _drawing(point.name, stations), _drawing(point.name, stations, narrow=True)


def _station(build, step, point):
    line, result = build.line(step.role), point.result
    kind = SHAPES.get(line.kind if line else "", "passive")
    if result is None:
        return Station(kind, step.role)
    words = []
    if step.role in result.components:
        words = [said(result.components[step.role], 0, "°C"), range_said(point.spread, f"components.{step.role}", 0)]
    elif step.role in result.radiators:
        one = result.radiators[step.role]
        words = [said(one.heat, 0, "W"), _("air %(flow)s") % {"flow": said(one.air_flow * M3_H, 0, "m³/h")}]
    elif line and line.kind in PUMPS:
        words = [said(result.flow * L_MIN, 1, "L/min")]
    return Station(kind, step.role, tuple(filter(None, words)), said(result.nodes[step.role], 1, "°C"))


def _drawing(name, stations, narrow=False):
    if not stations:
        return ""
    legend = {
        "pump-reservoir": _("pump and reservoir"), "pump": _("pump"), "reservoir": _("reservoir"),
        "block": _("block"), "radiator": _("radiator"), "flow": _("the way the coolant goes"),
    }  # fmt: skip
    title = _("%(loop)s, in the order in which coolant passes") % {"loop": name}
    return mark_safe(loop_drawing(stations, title, legend=legend, narrow=narrow))


def fan_chart(point, limit):
    """Warmest coolant with its range, and sound, against fan speed, all radiators together."""
    sweep, quiet = point.sweep, point.sweep.quiet_speed(limit)
    percent = [100 * float(speed) for speed in sweep.speeds]
    warm, both = [float(value) for value in _along(sweep.point.warmest, percent)], sweep.ranges["coolant.max"]
    marks = [
        Band(tuple((x, _held(low), _held(high)) for x, (low, _m, high) in zip(percent, both, strict=True)),
             _("its range, 10–90 %")),
        Line(tuple(zip(percent, warm, strict=True)), _("warmest coolant, °C")),
    ]  # fmt: skip
    second, level = None, sweep.point.sound_level
    if level is not None:
        marks.append(Line(tuple(zip(percent, _along(level, percent), strict=True)), _("sound, dB(A)"), second=True))
        second = Axis(_("dB(A)"))
    marks.append(Limit(limit, _("good to %(limit)s") % {"limit": said(limit, 0, "°C")}))
    marks += _moments(point, quiet, percent)
    desc = _("From %(slow)s at %(low)d %% to %(fast)s at %(high)d %% of fan speed.") % {
        "slow": said(warm[0], 1, "°C"), "fast": said(warm[-1], 1, "°C"),
        "low": round(percent[0]), "high": round(percent[-1]),
    }  # fmt: skip
    across = Axis(_("fan speed of all radiators, %"), low=percent[0], high=percent[-1])
    title, told = _("Coolant and sound against fan speed"), f"{desc} {quiet_said(point, limit)}"
    return mark_safe(chart(title, marks, across, Axis("°C"), second, told, width=WIDTH))


def _along(values, percent):
    import numpy as np

    return [float(value) for value in np.broadcast_to(values, (len(percent),))]


def _held(value):
    """A value that can be drawn: a range that ends outside the model ends at boiling."""
    return min(float(value), 100.0) if math.isfinite(value) else 100.0


def _moments(point, quiet, percent):
    found, speeds = [], {float(radiator.fan_speed) for radiator in point.result.loop.radiators}
    if len(speeds) == 1 and percent[0] <= 100 * min(speeds) <= percent[-1]:
        now = 100 * min(speeds)
        found.append(Moment(now, _("now, %(speed)d %%") % {"speed": round(now)}))
    if quiet:
        speed, level = quiet
        heard = "" if level is None else f", {said(level, 1, 'dB(A)')}"
        words = _("slowest quiet, %(speed)d %%") % {"speed": math.ceil(100 * speed)} + heard
        found.append(Moment(100 * speed, words, dashed=True))
    return found


def quiet_said(point, limit):
    """The slowest quiet speed in a sentence."""
    quiet, good = point.sweep.quiet_speed(limit), said(limit, 0, "°C")
    if quiet is None:
        return _("Not even at full fan speed does the worse side of the range keep the coolant under %(limit)s.") % {
            "limit": good
        }
    speed, level = quiet
    told = {"limit": good, "speed": math.ceil(100 * speed), "level": said(level, 1, "dB(A)")}
    told["where"] = (_("%(speed)d %%") if level is None else _("%(speed)d %% at %(level)s")) % told
    return _("Slowest quiet speed: %(where)s; nine machines of ten keep the coolant under %(limit)s there.") % told


def heat_bars(point):
    """What each radiator gives off, with its range."""
    rows = []
    for name, one in point.result.radiators.items():
        low, high = point.spread.low_high(f"radiators.{name}.heat")
        text = f"{said(one.heat, 0, 'W')} · {between(low, high, 0)}"
        rows.append(Bar(name, max(float(one.heat), 0.0), text, low=max(low, 0.0), high=max(high, 0.0)))
    keys = {"bar": _("as reckoned"), "range": _("range, 10–90 %")}
    return mark_safe(bars(_("Heat by radiator"), rows, keys=keys, width=WIDTH))


def air_charts(point):
    """[(radiator, its fans' curve meeting its resistance)]."""
    found = []
    for name, one in point.result.radiators.items():
        rows = air_curves(point.result, name)
        if rows:
            here = (float(one.air_flow) * M3_H, float(one.air_pressure_drop))
            low_high = range_said(point.spread, f"radiators.{name}.air_flow", 0, "m³/h", M3_H)
            words = _("meets at %(flow)s (%(range)s)") % {"flow": said(here[0], 0, "m³/h"), "range": low_high}
            names = _("fans at this speed"), _("radiator and grille"), words
            title = _("Air through %(radiator)s") % {"radiator": name}
            found.append((name, _meeting(title, rows, here, names, M3_H, 1.0, _("air, m³/h"), "Pa")))
    return found


def pump_chart(point):
    """The pumps' curve meeting what the loop resists."""
    result = point.result
    here = (float(result.flow) * L_MIN, float(result.pressure) / 1000)
    low_high = range_said(point.spread, "flow", 1, "L/min", L_MIN)
    words = _("meets at %(flow)s (%(range)s)") % {"flow": said(here[0], 1, "L/min"), "range": low_high}
    names = _("pumps at this speed"), _("the whole loop"), words
    title = _("Pump meeting loop")
    return _meeting(title, flow_curves(result), here, names, L_MIN, 0.001, _("coolant, L/min"), "kPa")


def _meeting(title, rows, here, names, across, up, x_label, y_label):
    """Two curves over a flow, and the point where they meet; across, up: factors from SI."""
    top = 1.15 * max(row[1] for row in rows)
    give = tuple((across * flow, up * pressure) for flow, pressure, _drop in rows)
    take = tuple((across * flow, up * drop) for flow, _pressure, drop in rows if drop <= top)
    marks = [Line(give, names[0]), Line(take, names[1], dashed=True), Points((here,), names[2])]
    return mark_safe(chart(title, marks, Axis(x_label, low=0), Axis(y_label, low=0), desc=names[2], width=WIDTH))
