"""The thermal side of a spec's loops: documents, operating points, and the curves that meet there."""

from builds.checks.heat import Operating, operating
from builds.checks.loop_model import model_of

from .gather import facts_of, loop_facts, with_everything

CURVE_POINTS = 33


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


def air_curves(result, name):
    """((flow [m³/s], pressure of the fans [Pa], drop of the radiator [Pa]), …) of a radiator of a solved loop.

    Empty while its fans stand.
    """
    import numpy as np

    from thermal.air import air_at

    radiator = next(one for one in result.loop.radiators if one.name == name)
    running = (radiator.columns - radiator.stopped) * float(radiator.fan_speed)
    if not running:
        return ()
    air = air_at(float(result.radiators[name].air_inlet), result.loop.air_pressure)
    flows = np.linspace(0.0, 1.0, CURVE_POINTS) * running * radiator.fans.free_flow
    drops = radiator.air_pressure_drop(np.maximum(flows, 1e-9), air)
    return _points(flows, radiator.fan_pressure(flows, air), drops)


def flow_curves(result):
    """((flow [m³/s], pressure of the pumps [Pa], drops of the loop [Pa]), …) up to where the pumps give nothing."""
    import numpy as np

    loop = result.loop
    most = max(float(pump.speed * pump.max_flow) for pump in loop.pumps)
    flows = np.linspace(0.0, 1.0, CURVE_POINTS) * most
    drops = loop.resistance(np.maximum(flows, 1e-9), float(result.mean))
    return tuple(row for row in _points(flows, loop.pump_pressure(flows), drops) if row[1] >= -1e-6)


def _points(*columns):
    return tuple(tuple(map(float, row)) for row in zip(*columns, strict=True))
