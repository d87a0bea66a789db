"""The thermal side of a spec's loops: documents, operating points, and how they run at other speeds."""

from dataclasses import dataclass

from builds.checks.heat import Operating, operating
from builds.checks.loop_model import model_of

from .gather import facts_of, loop_facts, with_everything

SPEEDS = 15


def loop_document(loop, build=None):
    """The document of a Loop row for `thermal.document.read_loop`, or None while facts are missing."""
    return _with_build(loop, build, model_of).document


def operating_point(loop, build=None) -> Operating:
    """The Operating of a Loop row: its solved result, or the faults and missing facts that stand in the way."""
    return _with_build(loop, build, operating)


def _with_build(loop, build, ask):
    if build is None:
        build = facts_of(loop.spec)
        with_everything([loop.spec])
    facts = next((one for one in build.loops if one.name == loop.name), None) or loop_facts(loop)
    return ask(build, facts)


@dataclass(frozen=True)
class FanRun:
    """A loop at many fan speeds, all radiators together: tuples of the same length; sound may be empty."""

    speeds: tuple[float, ...]
    mean_over_room: tuple[float, ...]
    warmest: tuple[float, ...]
    sound: tuple[float, ...]


def fan_run(result, slowest=0.3, fastest=1.0):
    """One solve over SPEEDS fan speeds from a solved point's loop, or None where some speed has no answer."""
    import numpy as np

    from thermal.faults import LoopFault
    from thermal.loop import solve

    speeds = np.linspace(slowest, fastest, SPEEDS)
    loop = result.loop
    try:
        many = solve(loop.with_parts(**{radiator.name: {"fan_speed": speeds} for radiator in loop.radiators}))
    except LoopFault:
        return None
    level = many.sound_level
    return FanRun(
        tuple(map(float, speeds)),
        tuple(map(float, np.broadcast_to(many.mean_over_room, speeds.shape))),
        tuple(map(float, np.broadcast_to(many.warmest, speeds.shape))),
        () if level is None else tuple(map(float, np.broadcast_to(level, speeds.shape))),
    )
