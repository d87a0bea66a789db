"""What the thermal model foretells of a machine on the soak bench: at the load and in the room of the test.

The range is stated, not solved: one standard deviation as below, 10–90 % is 1.2816 of them. Its parts are the design's
scatter of air flow, air side and heat through a typical loop, and what a bench sensor is worth; common practice.
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

COOLANT_PART = 0.13  # of the coolant's rise over the room
BLOCK_PART = 0.20  # of the component's rise over its coolant
COOLANT_SENSOR_K, COMPONENT_SENSOR_K = 0.7, 1.5
P90 = 1.2816


@dataclass(frozen=True)
class Foretold:
    """predicted: differences over the room. heat_w: of all blocks at the spec's load. basis: how it was made."""

    predicted: tuple[Predicted, ...] = ()
    heat_w: float | None = None
    basis: str = ""


def foretell(spec, load_w=None, room_c=None):
    """The Foretold of a spec version; empty when no loop of it can be solved.

    load_w: heat of all blocks as measured [W], shared as the spec's heats are; room_c: the bench's room [°C].
    """
    build = facts_of(spec)
    points = [(loop, operating_point(loop, build)) for loop in spec.loops.all()]
    solved = [(loop, point.result) for loop, point in points if point.result is not None]
    heat_w = sum(float(block.heat) for _loop, result in solved for block in result.loop.blocks)
    if not solved or not heat_w:
        return Foretold()
    found = []
    for place, (loop, result) in enumerate(solved):
        at_bench = _at_bench(result, (load_w or heat_w) / heat_w, room_c)
        found += _of_loop(build, loop, at_bench, place, several=len(solved) > 1)
    room = float(solved[0][1].room) if room_c is None else room_c
    basis = _("Foretold by the thermal model for %(load)s in a room of %(room)s. The range is stated, 10–90 %%: one "
              "standard deviation of 13 %% on the coolant, 20 %% on a block, sensors 0.7 K and 1.5 K.") % {
        "load": format_quantity(load_w or heat_w, "W"), "room": format_quantity(room, "degC")}  # fmt: skip
    return Foretold(tuple(found), heat_w, basis)


def _at_bench(result, share, room_c):
    """The loop solved again with its heats scaled, in another room; the result itself when nothing differs."""
    from thermal.loop import solve

    if share == 1.0 and room_c is None:
        return result
    loop = result.loop.with_parts(**{block.name: {"heat": block.heat * share} for block in result.loop.blocks})
    return solve(loop if room_c is None else replace(loop, room_temperature=room_c))


def _of_loop(build, loop, result, place, several):
    from thermal.judging import Limits, coolant_ceiling

    lowest = lowest_limit(build)
    ceiling, _why = coolant_ceiling(result, Limits(plastic_limit=lowest[0] if lowest else None))
    rise = float(result.mean_over_room)
    spread = math.hypot(COOLANT_PART * rise, COOLANT_SENSOR_K)
    label = _("coolant of %(loop)s") % {"loop": loop.name} if several else _("coolant")
    yield _predicted(COOLANT if place == 0 else f"{COOLANT}_{place + 1}", label, rise, spread, float(ceiling))
    steps = {step.line.role.name: step for step in loop.steps.all()}
    for block in result.loop.blocks:
        cooled = build.cooled_by(build.line(block.name))
        over_room = float(result.components[block.name] - result.room)
        over_coolant = float(result.components[block.name] - result.nodes[block.name])
        spread_of_part = math.hypot(spread, BLOCK_PART * over_coolant, COMPONENT_SENSOR_K)
        yield _predicted(f"part_{steps[block.name].line.role_id}", cooled.role, over_room, spread_of_part, block.limit)


def _predicted(name, label, rise, spread, limit):
    return Predicted(name, label, rise, rise - P90 * spread, rise + P90 * spread, limit)
