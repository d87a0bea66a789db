"""All checks in one place: what is run on a build, and what each rule is called."""

from django.utils.translation import gettext_lazy as _l

from . import (
    air,
    board_design,
    bought_cables,
    cable_take_off,
    cables,
    corners,
    direction,
    drives,
    fan_pattern,
    filling,
    form_factor,
    headers,
    heat,
    insides,
    loop_model,
    metals,
    plastics,
    ports,
    power,
    screws,
    sealed,
    sockets,
    stack,
    take_off,
    touch,
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
    drives.RULE: drives.check,
    corners.RULE: corners.check,
    screws.RULE: screws.check,
    screws.THREAD: screws.check_threads,
    ports.RULE: ports.check,
    ports.BENDS: ports.check_bends,
    direction.RULE: direction.check,
    filling.FILL: filling.check_fill,
    take_off.RULE: take_off.check,
    cable_take_off.RULE: cable_take_off.check,
    headers.RULE: headers.check,
    cables.RULE: cables.check,
    bought_cables.RULE: bought_cables.check,
    air.RULE: air.check,
    withdrawn.RULE: withdrawn.check,
}
# These ask for the solved operating point.
ALL = {**QUICK, loop_model.RULE: heat.check, sealed.RULE: sealed.check, touch.RULE: touch.check}


def run(build, checks=None):
    """Every finding of these checks (all by default) on a build, once each, in the order in which pages show them."""
    found = (finding for check in (checks or ALL).values() for finding in check(build))
    return in_order(dict.fromkeys(found))


def rule_label(key):
    """What a page calls a rule."""
    return next((rule.label for rule in ALL if rule.key == key), _l("another check"))
