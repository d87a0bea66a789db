"""What the thermal model foretells of a machine on the soak bench: at the load and in the room of the test.

The range is the model's own 10–90 % (thermal/spread.py), widened by what a bench sensor scatters; common practice.
"""

import math
from dataclasses import dataclass, replace

from django.utils.translation import gettext as _

from builds.checks.plastics import lowest_limit
from builds.specs.gather import facts_of
from builds.specs.thermal import operating_point
from thermal.units import format_quantity

from .judgement import Predicted
from .soak import COOLANT

COOLANT_SENSOR_K, COMPONENT_SENSOR_K = 0.7, 1.5  # one standard deviation
P90 = 1.2816  # standard deviations from the middle to the 90 % mark


@dataclass(frozen=True)
class Foretold:
    """predicted: differences over the room. heat_w: of all blocks at the spec's load. basis: how it was made.

    time_constant_min: of the slowest loop, without the metal of the case.
    """

    predicted: tuple[Predicted, ...] = ()
    heat_w: float | None = None
    time_constant_min: float | None = None
    basis: str = ""


def foretell(spec, load_w=None, room_c=None):
    """The Foretold of a spec version; empty when no loop of it can be solved.

    load_w: heat of all blocks as measured [W], shared as the spec's heats are; room_c: the bench's room [°C].
    """
    from thermal.soak import time_constant

    build = facts_of(spec)
    points = [(loop, operating_point(loop, build)) for loop in spec.loops.all()]
    solved = [(loop, point.result) for loop, point in points if point.result is not None]
    heat_w = sum(float(block.heat) for _loop, result in solved for block in result.loop.blocks)
    if not solved or not heat_w:
        return Foretold()
    at_bench = [(loop, _at_bench(result, (load_w or heat_w) / heat_w, room_c)) for loop, result in solved]
    found = []
    for place, (loop, spread) in enumerate(at_bench):
        found += _of_loop(build, loop, spread, place, several=len(solved) > 1)
    told = {
        "load": format_quantity(load_w or heat_w, "W"),
        "room": format_quantity(float(at_bench[0][1].point.room), "degC"),
    }
    basis = _(
        "Foretold by the thermal model for %(load)s in a room of %(room)s; the range is its 10–90 %%, with what bench "
        "sensors scatter (0.7 K on the coolant, 1.5 K on a part)."
    )
    minutes = max(time_constant(spread.point) for _loop, spread in at_bench) / 60.0
    return Foretold(tuple(found), heat_w, minutes, basis % told)


def _at_bench(result, share, room_c):
    """The Spread of the loop with its heats scaled, in another room."""
    from thermal.spread import spread

    loop = result.loop.with_parts(**{block.name: {"heat": block.heat * share} for block in result.loop.blocks})
    return spread(loop if room_c is None else replace(loop, room_temperature=room_c))


def _of_loop(build, loop, spread, place, several):
    from thermal.judging import Limits, coolant_ceiling

    point, lowest = spread.point, lowest_limit(build)
    ceiling, _why = coolant_ceiling(point, Limits(plastic_limit=lowest[0] if lowest else None))
    label = _("coolant of %(loop)s") % {"loop": loop.name} if several else _("coolant")
    name = COOLANT if place == 0 else f"{COOLANT}_{place + 1}"
    range_ = spread.ranges["mean_over_room"]
    yield _predicted(name, label, float(point.mean_over_room), range_, COOLANT_SENSOR_K, float(ceiling))
    steps = {step.line.role.name: step for step in loop.steps.all()}
    for block in point.loop.blocks:
        cooled = build.cooled_by(build.line(block.name))
        over_room = float(point.components[block.name] - point.room)
        range_ = spread.ranges[f"over_room.{block.name}"]
        name = f"part_{steps[block.name].line.role_id}"
        yield _predicted(name, cooled.role, over_room, range_, COMPONENT_SENSOR_K, block.limit)


def _predicted(name, label, rise, range_, sensor_k, limit):
    low, _middle, high = range_
    scatter = P90 * sensor_k
    return Predicted(
        name, label, rise, rise - math.hypot(rise - low, scatter), rise + math.hypot(high - rise, scatter), limit
    )
