"""What the loop page shows of one operating point: drawing, figures, chart. Plain values in, text and SVG out."""

from dataclasses import dataclass, field

from django.utils.formats import number_format
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _

from builds.checks.facts import PUMPS
from builds.checks.findings import in_order
from builds.checks.heat import findings
from builds.checks.loop_model import Basis
from builds.plots.chart import Axis, Line, Moment, chart
from builds.plots.loop_drawing import Station, loop_drawing

from .thermal import fan_run

L_MIN, M3_H = 60000.0, 3600.0
SHAPES = {"pump_reservoir": "pump-reservoir", "pump": "pump", "reservoir": "reservoir", "radiator": "radiator",
          "processor_block": "block", "graphics_block": "block"}  # fmt: skip


@dataclass(frozen=True)
class LoopView:
    """One loop for the page. figures: [(name, value, remark)]; basis: as `grouped` gives it; radiators: table rows."""

    name: str
    solved: bool
    findings: list
    basis: list
    figures: list = field(default_factory=list)
    components: list = field(default_factory=list)
    radiators: list = field(default_factory=list)
    wide: str = ""
    narrow: str = ""
    chart: str = ""


def loop_view(build, point):
    """The LoopView of an Operating."""
    told = in_order(findings(build, point))
    drawn = {"name": point.name, "findings": told, "basis": grouped(point.basis)}
    stations = [_station(build, step, point.result) for step in _steps(build, point)]
    drawn |= {"wide": _drawing(point.name, stations), "narrow": _drawing(point.name, stations, narrow=True)}
    if point.result is None:
        return LoopView(solved=False, **drawn)
    return LoopView(
        solved=True,
        figures=_figures(point.result),
        components=_components(build, point.result),
        radiators=_radiators(build, point.result),
        chart=_chart(point.result),
        **drawn,
    )


def grouped(basis):
    """[(origin, word, [Basis])] from what is only assumed to what is measured; alike values of several roles as one."""
    words = {
        "assumed": _("assumed"), "typical": _("typical, from memory"), "declared": _("declared"),
        "measured": _("measured by us"),
    }  # fmt: skip
    groups = []
    for origin, word in words.items():
        roles = {}
        for one in basis:
            if one.origin == origin:
                roles.setdefault((one.what, one.value, one.check), []).append(one.role)
        rows = [
            Basis(", ".join(dict.fromkeys(filter(None, names))), what, value, origin, check)
            for (what, value, check), names in roles.items()
        ]
        groups += [(origin, word, rows)] if rows else []
    return groups


def _steps(build, point):
    return next((loop.steps for loop in build.loops if loop.name == point.name), ())


def said(value, digits=1, unit=""):
    """A number in local writing, with its unit; a dash where there is none."""
    if value is None:
        return "–"
    text = number_format(round(float(value), digits) + 0.0, digits, use_l10n=True)  # + 0.0: never “-0.0”
    return f"{text} {unit}".strip()


def _station(build, step, result):
    line = build.line(step.role)
    kind = SHAPES.get(line.kind if line else "", "passive")
    if result is None:
        return Station(kind, step.role)
    words = []
    if step.role in result.components:
        words = [said(result.components[step.role], 0, "°C")]
    elif step.role in result.radiators:
        one = result.radiators[step.role]
        words = [said(one.heat, 0, "W"), _("air %(flow)s") % {"flow": said(one.air_flow * M3_H, 0, "m³/h")}]
    elif line and line.kind in PUMPS:
        words = [said(result.flow * L_MIN, 1, "L/min")]
    return Station(kind, step.role, tuple(words), said(result.nodes[step.role], 1, "°C"))


def _drawing(name, stations, narrow=False):
    if not stations:
        return ""
    legend = {
        "pump-reservoir": _("pump and reservoir"), "pump": _("pump"), "reservoir": _("reservoir"),
        "block": _("block"), "radiator": _("radiator"), "flow": _("the way the coolant goes"),
    }  # fmt: skip
    title = _("%(loop)s, in the order in which coolant passes") % {"loop": name}
    return mark_safe(loop_drawing(stations, title, legend=legend, narrow=narrow))


def _figures(result):
    room = _("in a room of %(room)s") % {"room": said(result.room, 1, "°C")}
    rows = [
        (_("mean coolant over room"), said(result.mean_over_room, 1, "K"), ""),
        (_("warmest coolant"), said(result.warmest, 1, "°C"), room),
        (_("flow"), said(result.flow * L_MIN, 2, "L/min"), ""),
        (_("pressure of the pumps"), said(result.pressure / 1000, 1, "kPa"), ""),
        (_("heat into the coolant"), said(result.heat, 0, "W"), ""),
        (_("radiators, per 10 K"), said(sum(one.per_ten_kelvin for one in result.radiators.values()), 0, "W"), ""),
        (_("case air over room"), said(result.case_air - result.room, 1, "K"), ""),
    ]  # fmt: skip
    unknown = _("without %(names)s: not declared") % {"names": ", ".join(result.sound_unknown)}
    level = said(result.sound_level, 1, "dB(A)")
    rows.append((_("sound"), level, unknown if result.sound_unknown else _("declared levels added up")))
    rows.append((_("energy residual"), f"{float(result.energy_residual):.1e}", _("of the heat; below 1e-6 holds")))
    return rows


def _components(build, result):
    blocks = {block.name: block for block in result.loop.blocks}
    rows = []
    for name, temperature in result.components.items():
        line = build.line(name)
        part = build.cooled_by(line) if line else None
        limit = blocks[name].limit
        rows.append({
            "name": part.part if part else name,
            "block": name,
            "heat": said(blocks[name].heat, 0, "W"),
            "inlet": said(result.nodes[name], 1, "°C"),
            "temperature": said(temperature, 1, "°C"),
            "limit": said(limit, 0, "°C") if limit is not None else "–",
        })  # fmt: skip
    return rows


def _radiators(build, result):
    return [
        {
            "name": name,
            "heat": said(one.heat, 0, "W"),
            "air": said(one.air_flow * M3_H, 0, "m³/h"),
            "drop": said(one.air_pressure_drop, 1, "Pa"),
            "inlet": said(one.air_inlet, 1, "°C"),
            "outlet": said(one.air_outlet, 1, "°C"),
            "per_ten": said(one.per_ten_kelvin, 0, "W"),
        }
        for name, one in result.radiators.items()
    ]


def _chart(result):
    """Coolant over room and sound against fan speed, all radiators together."""
    run = fan_run(result)
    if run is None:
        return ""
    percent = [100 * speed for speed in run.speeds]
    marks = [Line(tuple(zip(percent, run.mean_over_room, strict=True)), _("mean coolant over room, K"))]
    second = None
    if run.sound:
        marks.append(Line(tuple(zip(percent, run.sound, strict=True)), _("sound, dB(A)"), second=True))
        second = Axis(_("dB(A)"))
    speeds = {float(radiator.fan_speed) for radiator in result.loop.radiators}
    if len(speeds) == 1 and percent[0] <= 100 * min(speeds) <= percent[-1]:
        now = 100 * min(speeds)
        marks.append(Moment(now, _("now, %(speed)d %%") % {"speed": round(now)}))
    desc = _("From %(slow)s K at %(low)d %% to %(fast)s K at %(high)d %%.") % {
        "slow": said(run.mean_over_room[0]), "fast": said(run.mean_over_room[-1]),
        "low": round(percent[0]), "high": round(percent[-1]),
    }  # fmt: skip
    drawn = chart(
        _("Coolant and sound against fan speed"), marks,
        Axis(_("fan speed of all radiators, %"), low=percent[0], high=percent[-1]), Axis("K", low=0.0), second, desc,
    )  # fmt: skip
    return mark_safe(drawn)


def dials_of(build, turned):
    """[{name, label, unit, low, high, step, value}] of the dials as they stand."""
    if build is None:
        return []
    steps = [(step, line) for _loop, step, line in build.steps()]
    fans = [step.speed for step, line in steps if line.kind == "radiator"]
    pumps = [step.speed for step, line in steps if line.kind in PUMPS]
    speeds = {"fans": turned.get("fan_speed", _mean(fans)), "pump": turned.get("pump_speed", _mean(pumps))}
    room = {"name": "room", "label": _("room"), "unit": "°C", "low": 10, "high": 45, "step": "0.5",
            "value": f"{turned.get('room', build.room_c):g}"}  # fmt: skip
    labels = {"fans": _("fans, all"), "pump": _("pump")}
    highs = {"fans": 150, "pump": 120}
    return [room] + [
        {"name": name, "label": labels[name], "unit": "%", "low": 20, "high": highs[name], "step": "1",
         "value": f"{100 * speed:.0f}"}
        for name, speed in speeds.items()
        if speed is not None
    ]  # fmt: skip


def _mean(values):
    return sum(values) / len(values) if values else None
