"""What the loop page and its sheet show of one operating point. Plain values in, text and SVG out."""

from dataclasses import dataclass, field

from django.utils.translation import gettext as _

from builds.checks.findings import in_order
from builds.checks.heat import findings, limits_of
from builds.checks.loop_model import Basis

from .dials import WARM_COOLANT_C
from .loop_drawn import air_charts, drawings, fan_chart, heat_bars, pump_chart, quiet_said
from .loop_said import L_MIN, M3_H, range_said, said
from .mishaps import what_ifs


@dataclass(frozen=True)
class LoopView:
    """One loop for the page. figures: [(name, value, range, remark)]; basis: as `grouped` gives it.

    components, radiators: table rows; air: [(radiator, chart)]; quiet: the slowest quiet speed in words; gist: the
    answer in a line; doubt: why the range is not to be trusted, if so.
    """

    name: str
    solved: bool
    findings: list
    basis: list
    gist: str = ""
    doubt: str = ""
    figures: list = field(default_factory=list)
    components: list = field(default_factory=list)
    radiators: list = field(default_factory=list)
    what_ifs: list = field(default_factory=list)
    wide: str = ""
    narrow: str = ""
    fans: str = ""
    quiet: str = ""
    heats: str = ""
    air: list = field(default_factory=list)
    pump: str = ""


def loop_view(build, point, limit=WARM_COOLANT_C):
    """The LoopView of an Operating; limit: the coolant that is still good [°C]."""
    told = in_order(findings(build, point))
    wide, narrow = drawings(build, point)
    drawn = {"name": point.name, "findings": told, "basis": grouped(point.basis), "wide": wide, "narrow": narrow}
    if point.result is None:
        return LoopView(solved=False, gist=_("no operating point"), **drawn)
    return LoopView(
        solved=True,
        gist=_gist(point),
        doubt=_doubt(point.spread),
        figures=_figures(point.result, point.spread),
        components=_components(build, point),
        radiators=_radiators(point),
        what_ifs=what_ifs(point, limits_of(build)),
        fans=fan_chart(point, limit), quiet=quiet_said(point, limit),
        heats=heat_bars(point), air=air_charts(point), pump=pump_chart(point),
        **drawn,
    )  # fmt: skip


def _gist(point):
    """The answer in a line, to be read while a dial is turned."""
    result = point.result
    parts = [
        _("coolant %(warmest)s at its warmest (%(range)s)")
        % {"warmest": said(result.warmest, 1, "°C"), "range": range_said(point.spread, "coolant.max")},
        *(f"{name} {said(temperature, 0, '°C')}" for name, temperature in result.components.items()),
        said(result.flow * L_MIN, 1, "L/min"),
        said(result.sound_level, 1, "dB(A)"),
    ]
    return ", ".join(parts)


def _doubt(spread):
    """A sentence where part of the sampled machines end outside what the model covers."""
    if spread.unsettled < 0.01:
        return ""
    return _(
        "Of the machines that the range is made of, %(share)d %% end outside what the model covers; its ends are not "
        "to be trusted."
    ) % {"share": round(100 * spread.unsettled)}


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


def _figures(result, spread):
    room = _("in a room of %(room)s") % {"room": said(result.room, 1, "°C")}
    rows = [
        (_("mean coolant over room"), said(result.mean_over_room, 1, "K"), range_said(spread, "mean_over_room"), ""),
        (_("warmest coolant"), said(result.warmest, 1, "°C"), range_said(spread, "coolant.max"), room),
        (_("coolest coolant"), said(result.coolest, 1, "°C"), range_said(spread, "coolant.min"), ""),
        (_("flow"), said(result.flow * L_MIN, 2, "L/min"), range_said(spread, "flow", 2, factor=L_MIN), ""),
        (_("pressure of the pumps"), said(result.pressure / 1000, 1, "kPa"), "", ""),
        (_("heat into the coolant"), said(result.heat, 0, "W"), "", ""),
        (_("radiators, per 10 K"), said(sum(one.per_ten_kelvin for one in result.radiators.values()), 0, "W"),
         _only_radiator(result, spread), ""),
        (_("case air"), said(result.case_air, 1, "°C"), range_said(spread, "case_air"), ""),
    ]  # fmt: skip
    unknown = _("without %(names)s: not declared") % {"names": ", ".join(result.sound_unknown)}
    level = said(result.sound_level, 1, "dB(A)")
    rows.append((_("sound"), level, "", unknown if result.sound_unknown else _("declared levels added up")))
    residual = f"{float(result.energy_residual):.1e}"
    rows.append((_("energy residual"), residual, "", _("of the heat; below 1e-6 holds")))
    return rows


def _only_radiator(result, spread):
    """The range of the sum is known where there is nothing to add."""
    names = list(result.radiators)
    return range_said(spread, f"radiators.{names[0]}.conductance", 0, factor=10.0) if len(names) == 1 else ""


def _components(build, point):
    result, blocks = point.result, {block.name: block for block in point.result.loop.blocks}
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
            "range": range_said(point.spread, f"components.{name}"),
            "limit": said(limit, 0, "°C") if limit is not None else "–",
        })  # fmt: skip
    return rows


def _radiators(point):
    spread = point.spread
    return [
        {
            "name": name,
            "heat": said(one.heat, 0, "W"),
            "heat_range": range_said(spread, f"radiators.{name}.heat", 0),
            "air": said(one.air_flow * M3_H, 0, "m³/h"),
            "air_range": range_said(spread, f"radiators.{name}.air_flow", 0, factor=M3_H),
            "drop": said(one.air_pressure_drop, 1, "Pa"),
            "inlet": said(one.air_inlet, 1, "°C"),
            "outlet": said(one.air_outlet, 1, "°C"),
            "per_ten": said(one.per_ten_kelvin, 0, "W"),
            "per_ten_range": range_said(spread, f"radiators.{name}.conductance", 0, factor=10.0),
        }
        for name, one in point.result.radiators.items()
    ]
