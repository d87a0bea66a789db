"""The loop as it is drawn in the pack."""

from django.utils.translation import gettext as _

from builds.plots.loop_drawing import Station, in_order, loop_drawing

SHAPES = {
    "pump_reservoir": "pump-reservoir", "pump": "pump", "reservoir": "reservoir", "radiator": "radiator",
    "processor_block": "block", "graphics_block": "block",
}  # fmt: skip


def drawing_of(spec):
    """(SVG, words, [(name, text)]) of the first loop of a spec; empty where there is none."""
    loop = spec.loops.prefetch_related("steps__line__role", "steps__line__part").first() if spec else None
    steps = list(loop.steps.all()) if loop else []
    if not steps:
        return None, "", []
    stations = [
        Station(SHAPES.get(step.line.part.kind, "passive"), step.line.role.name, (step.line.part.name,))
        for step in steps
    ]
    return loop_drawing(stations, _("The loop")), in_order(stations), []
