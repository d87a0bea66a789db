"""The loops as they are drawn in the pack: the parts in coolant's order, with the temperatures of the thermal model."""

from django.utils.translation import gettext as _

from builds.plots.loop_drawing import Station, in_order, loop_drawing
from builds.specs.gather import facts_of
from builds.specs.loop_drawn import SHAPES
from builds.specs.thermal import operating_point
from thermal.units import format_quantity

LITRES_A_MINUTE = 60000.0  # L/min of 1 m³/s


def drawings_of(spec):
    """[{name, picture (SVG), words, figures [(name, text)], basis, data}] of a spec's loops that have components.

    data: the loop's document with its answer, range and prior, None where it cannot be solved.
    """
    if spec is None:
        return []
    build = facts_of(spec)
    return [_drawing(build, loop) for loop in spec.loops.all() if loop.steps.all()]


def _drawing(build, loop):
    point = operating_point(loop, build)
    result = point.result
    stations = [_station(build, step, result) for step in loop.steps.all()]
    return {
        "name": loop.name,
        "picture": loop_drawing(stations, loop.name),
        "words": in_order(stations),
        "figures": _figures(result, point.spread) if result else [],
        "basis": _basis(result) if result else "",
        "data": point.as_document() if result else None,
    }


def _station(build, step, result):
    name = step.line.role.name
    line = build.line(name)
    lines = [line.part]
    node = ""
    if result is not None:
        node = f"{float(result.nodes[name]):.1f} °C"
        if name in result.components:
            cooled = build.cooled_by(line)
            lines.append(f"{cooled.role} {float(result.components[name]):.0f} °C")
        if name in result.radiators:
            lines.append(f"{float(result.radiators[name].heat):.0f} W")
    return Station(SHAPES.get(line.kind, "passive"), name, tuple(lines), node)


def _figures(result, spread):
    """[(name, "value (low–high)")], the range being the 10–90 % one."""
    rows = [
        (_("flow"), result.flow, "flow", "L/min", LITRES_A_MINUTE, 2),
        (_("mean coolant over the room"), result.mean_over_room, "mean_over_room", "K", 1.0, 3),
        (_("warmest coolant"), result.warmest, "coolant.max", "degC", 1.0, 3),
        (_("heat into the coolant"), result.heat, "", "W", 1.0, 3),
        *((_("%(part)s gives off") % {"part": name}, one.heat, f"radiators.{name}.heat", "W", 1.0, 3)
          for name, one in result.radiators.items()),
    ]  # fmt: skip
    return [
        (label, _ranged(value, spread.low_high(key), unit, factor, n)) for label, value, key, unit, factor, n in rows
    ]


def _ranged(value, both, unit, factor, figures):
    said = format_quantity(float(value) * factor, unit, figures)
    if both is None:
        return said
    low, high = (f"{end * factor:#.{figures}g}".rstrip(".") for end in both)
    return f"{said} ({low}–{high})"


def _basis(result):
    room = format_quantity(float(result.room), "degC", 3)
    return _(
        "temperatures by the thermal model at full load in a room of %(room)s; in brackets the range that holds eight "
        "machines of ten"
    ) % {"room": room}
