"""All checks in one place: what is run on a build, and what each rule is called."""

from django.utils.translation import gettext_lazy as _l

from . import (
    board_design,
    fan_pattern,
    filling,
    form_factor,
    heat,
    insides,
    loop_model,
    metals,
    plastics,
    power,
    sockets,
    stack,
    tube,
    withdrawn,
)
from .findings import in_order

# Geometry, materials and sums: quick enough to try every candidate part with them.
QUICK = {
    board_design.RULE: board_design.check,
    sockets.RULE: sockets.check,
    form_factor.RULE: form_factor.check,
    stack.RULE: stack.check,
    fan_pattern.RULE: fan_pattern.check,
    tube.RULE: tube.check,
    metals.RULE: metals.check,
    plastics.RULE: plastics.check,
    power.RULE: power.check,
    insides.LENGTH: insides.check_length,
    insides.MEMORY: insides.check_memory,
    insides.DRIVES: insides.check_drives,
    filling.FILL: filling.check_fill,
    filling.TAKE_OFF: filling.check_take_off,
    withdrawn.RULE: withdrawn.check,
}
ALL = {**QUICK, loop_model.RULE: heat.check}


def run(build, checks=None):
    """Every finding of these checks (all by default) on a build, in the order in which pages show them."""
    return in_order([finding for check in (checks or ALL).values() for finding in check(build)])


def rule_label(key):
    """What a page calls a rule."""
    return next((rule.label for rule in ALL if rule.key == key), _l("another check"))
