"""What the thermal model foretells of a machine on the soak bench: at the load and in the room of the test.

The range is the model's own 10–90 % with what the workshop has learnt (builds/checks/lessons.py), widened by what a
bench sensor scatters; common practice.
"""

import math
from copy import deepcopy
from dataclasses import dataclass, field

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.checks.heat import limits_of
from builds.checks.lessons import SoakLesson
from builds.checks.solving import ranged, solved, text_of
from builds.specs.gather import facts_of
from builds.specs.thermal import operating_point
from thermal.units import format_quantity

from .judgement import Flow, Predicted
from .soak import COOLANT, FANS, PUMP

COOLANT_SENSOR_K, COMPONENT_SENSOR_K = 0.7, 1.5  # one standard deviation
FLOW_SENSOR = 0.05  # of the reading, one standard deviation of a turbine meter in a loop; common practice
L_MIN = 60_000.0  # m³/s in L/min
P90 = 1.2816  # standard deviations from the middle to the 90 % mark


@dataclass(frozen=True)
class Foretold:
    """predicted: differences over the room. heat_w: of all blocks at the spec's load. basis: how it was made.

    time_constant_min: of the slowest loop, without the metal of the case. prior: what the range rests on, to keep.
    places: components of the first loop, at whose inlet its coolant may be read; flow: of that loop; fan_rpm: rated
    speed of the fans of all radiators, where they share one.
    """

    predicted: tuple[Predicted, ...] = ()
    heat_w: float | None = None
    time_constant_min: float | None = None
    basis: str = ""
    prior: dict = field(default_factory=dict)
    places: tuple[str, ...] = ()
    flow: Flow | None = None
    fan_rpm: float | None = None


@dataclass(frozen=True)
class AtBench:
    """One loop of a spec as it runs on the bench. place: which of the loops; document: with load and room as there."""

    place: int
    name: str
    steps: dict  # role name → Step
    document: dict
    result: object


def at_bench(spec, build, load_w=None, room_c=None, speeds=None):
    """([AtBench] of the loops that can be solved there, heat of all blocks at the spec's load [W]).

    speeds: {FANS or PUMP: percent of rated} as measured; the spec's where not given.
    """
    points = [(place, loop, operating_point(loop, build)) for place, loop in enumerate(spec.loops.all())]
    points = [(place, loop, point) for place, loop, point in points if point.result is not None]
    heat_w = sum(float(block.heat) for _place, _loop, point in points for block in point.result.loop.blocks)
    found = []
    for place, loop, point in points if heat_w else ():
        document = _loaded(point, (load_w or heat_w) / heat_w, room_c, speeds or {})
        result, _faults = solved(text_of(document))
        if result is not None:
            steps = {step.line.role.name: step for step in loop.steps.all()}
            found.append(AtBench(place, loop.name, steps, document, result))
    return found, heat_w


def _loaded(point, share, room_c, speeds):
    """The loop's document with its heats scaled, in another room, fans and pumps at other speeds."""
    document, heats = deepcopy(point.model.document), {block.name: block.heat for block in point.result.loop.blocks}
    for part in document["components"]:
        if part["name"] in heats:
            part["heat"] = f"{float(heats[part['name']]) * share!r} W"
        for kind, name, reading in (("radiator", "fan_speed", FANS), ("pump", "speed", PUMP)):
            if part["kind"] == kind and reading in speeds:
                part[name] = speeds[reading] / 100.0
    if room_c is not None:
        document["room_temperature"] = f"{float(room_c)!r} degC"
    return document


def foretell(spec, load_w=None, room_c=None, sensor=None, speeds=None):
    """The Foretold of a spec version; empty when no loop of it can be solved.

    load_w: heat of all blocks as measured [W], shared as the spec's heats are; room_c: the bench's room [°C]; sensor:
    at which of the first loop's `places` its coolant is read, from 1; None for the loop's mean. speeds: as for
    at_bench.
    """
    from thermal.soak import time_constant

    build = facts_of(spec)
    loops, heat_w = at_bench(spec, build, load_w, room_c, speeds)
    if not loops:
        return Foretold()
    found = [told for one in loops for told in _of_loop(build, one, len(loops) > 1, node_of(one, sensor))]
    minutes = max(time_constant(one.result) for one in loops) / 60.0
    first = ranged(text_of(loops[0].document), build.prior)
    basis = _basis(load_w or heat_w, float(loops[0].result.room), taught=bool(build.prior), speeds=speeds)
    flow = _flow(loops[0].result, first) if loops[0].place == 0 else None
    return Foretold(tuple(found), heat_w, minutes, basis, first.prior.document(), places_of(loops), flow, _rated(loops))


def _flow(result, spread):
    """The Flow of a solved loop: the model's 10–90 % with what a flow meter scatters."""
    point = float(result.flow) * L_MIN
    low, _middle, high = (float(end) * L_MIN for end in spread.ranges["flow"])
    scatter = P90 * FLOW_SENSOR * point
    return Flow(point, point - math.hypot(point - low, scatter), point + math.hypot(high - point, scatter))


def _rated(loops):
    """Rated speed [rpm] of the fans of all radiators, None where it is unknown or differs."""
    rated = {radiator.fans.rated_speed for one in loops for radiator in one.result.loop.radiators if radiator.fans}
    return float(rated.pop()) if len(rated) == 1 and None not in rated else None


def _basis(load_w, room_c, taught, speeds=None):
    told = {"load": format_quantity(load_w, "W"), "room": format_quantity(room_c, "degC")}
    basis = _(
        "Foretold by the thermal model for %(load)s in a room of %(room)s; the range is its 10–90 %%, with what bench "
        "sensors scatter (0.7 K on the coolant, 1.5 K on a part)."
    )
    told_speeds = (_("fans at %(n)s %%"), FANS), (_("pump at %(n)s %%"), PUMP)
    ran = [said % {"n": f"{speeds[name]:.0f}"} for said, name in told_speeds if speeds and name in speeds]
    basis = basis % told + (" " + _("As measured: %(speeds)s.") % {"speeds": ", ".join(ran)} if ran else "")
    if not taught:
        return basis
    count = SoakLesson.objects.counting().count()
    learnt = ngettext("It has learnt from %(n)d soak test.", "It has learnt from %(n)d soak tests.", count)
    return f"{basis} {learnt % {'n': count}}"


def places_of(loops):
    """Names of the first loop's components, in the order in which coolant passes them."""
    return tuple(loops[0].result.nodes) if loops and loops[0].place == 0 else ()


def node_of(one, sensor):
    """The component at whose inlet a loop's coolant is read, "" for its mean."""
    places = places_of([one])
    return places[int(sensor) - 1] if sensor and 1 <= sensor <= len(places) else ""


def _of_loop(build, one, several, node):
    from thermal.judging import coolant_ceiling

    result, spread = one.result, ranged(text_of(one.document), build.prior)
    ceiling, _why = coolant_ceiling(result, limits_of(build))
    label = _("coolant of %(loop)s") % {"loop": one.name} if several else _("coolant")
    at = result.nodes[node] if node else result.mean
    rise, range_ = float(at - result.room), spread.ranges[f"node_over_room.{node}" if node else "mean_over_room"]
    yield _predicted(coolant_name(one), label, rise, range_, COOLANT_SENSOR_K, float(ceiling))
    for block in result.loop.blocks:
        cooled = build.cooled_by(build.line(block.name))
        over_room = float(result.components[block.name] - result.room)
        range_ = spread.ranges[f"over_room.{block.name}"]
        yield _predicted(part_name(one, block), cooled.role, over_room, range_, COMPONENT_SENSOR_K, block.limit)


def coolant_name(one):
    """The reading of a loop's coolant."""
    return COOLANT if one.place == 0 else f"{COOLANT}_{one.place + 1}"


def part_name(one, block):
    """The reading of what a block cools."""
    return f"part_{one.steps[block.name].line.role_id}"


def _predicted(name, label, rise, range_, sensor_k, limit):
    low, _middle, high = range_
    scatter = P90 * sensor_k
    return Predicted(
        name, label, rise, rise - math.hypot(rise - low, scatter), rise + math.hypot(high - rise, scatter), limit
    )
