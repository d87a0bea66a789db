"""Gathers what the tests need to know of a job's machine from its spec."""

import math

from builds.specs.gather import with_everything
from builds.specs.models import SpecVersion

from .judgement import Machine
from .prediction import foretell

BRITTLE = ("acrylic", "glass")


def machine_of(job, load_w=None, room_c=None, sensor=None, speeds=None):
    """The Machine of a job's agreed spec, or of the one being worked on; an empty one before there is a spec.

    load_w, room_c, sensor, speeds: load, room, place of the coolant's sensor and {reading: percent} of fans and pumps
    in a soak test, for what is foretold; the spec's, and the mean of the loop, by default.
    """
    spec = SpecVersion.objects.agreed_for(job) or SpecVersion.objects.current_for(job)
    if spec is None:
        return Machine(room_warmest_c=job.room_warmest_c)
    with_everything([spec])
    lines = list(spec.lines.all())
    volume_l, unknown = _volume(lines, sum(loop.tube_length_mm for loop in spec.loops.all()))
    pressure, part = _pressure(lines)
    foretold = foretell(spec, load_w, room_c, sensor, speeds)
    return Machine(
        volume_l=volume_l,
        without_volume=unknown,
        pressure_bar=pressure,
        pressure_part=part,
        brittle_unknown=_brittle(lines),
        predicted=foretold.predicted,
        heat_w=foretold.heat_w,
        time_constant_min=foretold.time_constant_min,
        basis=foretold.basis,
        prior=foretold.prior,
        places=foretold.places,
        flow=foretold.flow,
        fan_rpm=foretold.fan_rpm,
        room_warmest_c=job.room_warmest_c,
    )


def _declares(line, name, unit):
    fact = line.part.spec.fact(name)
    return fact is not None and fact.unit == unit


def _volume(lines, tube_mm):
    """(coolant the loop holds [L], names of parts whose volume nobody knows)."""
    total, unknown = 0.0, []
    for line in lines:
        if _declares(line, "volume", "mL"):
            volume = line.part.fact("volume")
            if volume is None:
                unknown.append(line.part.name)
            else:
                total += float(line.quantity) * volume / 1000.0
    bore = next((line.part.fact("bore") for line in lines if line.part.kind == "tube"), None)
    if bore:
        total += math.pi / 4.0 * bore**2 * tube_mm / 1e6
    elif tube_mm:
        unknown.append("tube")
    return round(total, 3), tuple(unknown)


def _pressure(lines):
    """(lowest pressure limit of any part [bar gauge], its name), or (None, "")."""
    known = [
        (line.part.fact("max_pressure"), line.part.name)
        for line in lines
        if _declares(line, "max_pressure", "bar") and line.part.fact("max_pressure") is not None
    ]
    return min(known, default=(None, ""))


def _brittle(lines):
    """Names of parts of acrylic or glass that declare no pressure limit."""
    found = []
    for line in lines:
        made_of = " ".join(filter(None, [line.part.fact("wetted_plastics"), line.part.fact("material")]))
        if any(word in made_of for word in BRITTLE) and line.part.fact("max_pressure") is None:
            found.append(line.part.name)
    return tuple(dict.fromkeys(found))
