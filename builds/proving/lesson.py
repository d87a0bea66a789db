"""What a passed soak test teaches: its readings beside the loop at the load and in the room as measured."""

from builds.checks.lessons import SoakLesson
from builds.specs.gather import facts_of, with_everything
from builds.specs.models import SpecVersion

from .judgement import PASSED
from .prediction import at_bench, coolant_name, node_of, part_name
from .soak import speeds_of


def teach(trial, by):
    """Let a confirmed soak trial teach the workshop, or take back what its job taught when it failed."""
    job = trial.gate.job
    readings = readings_of(trial) if trial.verdict == PASSED else []
    return SoakLesson.objects.teach(job, readings, by)


def readings_of(trial):
    """The readings of a soak trial, a dict a loop, as `SoakLesson` keeps them; empty without load, room or a loop."""
    measured, job = trial.plain, trial.gate.job
    spec = SpecVersion.objects.agreed_for(job) or SpecVersion.objects.current_for(job)
    if spec is None or measured.get("load") is None or measured.get("room") is None:
        return []
    with_everything([spec])
    loops, _heat = at_bench(spec, facts_of(spec), measured["load"], measured["room"], speeds_of(measured))
    return [found for one in loops if (found := _reading(one, measured))]


def _reading(one, measured):
    coolant = measured.get(coolant_name(one))
    if coolant is None:
        return None
    read = {block.name: measured.get(part_name(one, block)) for block in one.result.loop.blocks}
    parts = {name: value for name, value in read.items() if value is not None}
    return {"loop": one.document, "coolant": coolant, "node": node_of(one, measured.get("sensor")), "parts": parts}
