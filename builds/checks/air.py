"""Air for what no block cools, and a pump that says when it stands still."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .facts import PUMPS
from .rule import Rule

RULE = Rule("air around", _l("air around, and the pump's alarm"), _l("common practice"))


def check(build):
    return [*_still(build), *_pumps(build)]


def _still(build):
    """Memory and voltage regulators need some wind of case fans, or of radiators that blow into the case."""
    boards = build.of_kind("board", "memory")
    steps = [step for _loop, step, line in build.steps() if line.kind == "radiator" and step.fan_count]
    if not boards or not build.loops:
        return []
    used = {}
    for step in steps:
        used[step.fans] = used.get(step.fans, 0) + step.fan_count
    free = any(line.quantity > used.get(line.role, 0) for line in build.of_kind("fan"))
    if free or any("case" in (step.blows_to, step.draws_from) for step in steps):
        return []
    return [
        RULE.caution(
            _("No fan moves air inside the case: memory and voltage regulators have only what drifts past."),
            _("Add a case fan, or let one radiator blow into the case."), *boards,
        )
    ]  # fmt: skip


def _pumps(build):
    found = []
    for pump in build.of_kind(*PUMPS):
        found += RULE.unless_known(pump, "speed_signal")
        if pump.yes("speed_signal") is False:
            found.append(
                RULE.caution(
                    _("%(pump)s tells nobody when it stands still.") % {"pump": pump.part},
                    _("Take one with a speed signal, or a flow sensor that stops the machine."), pump,
                )
            )  # fmt: skip
    return found
