"""The take-off's quantities, put into the spec's lines."""

from decimal import Decimal

from django.db import transaction

from builds.checks.cable_take_off import cable_items
from builds.checks.take_off import take_off

from .gather import facts_of


@transaction.atomic
def take_counts(spec, by):
    """Set what loops and cables take, with spares, on the lines of a version; the lines that changed.

    Where several lines hold the same (two lots of straight fittings), the first makes up the difference and none
    is lowered below what makes the sum.
    """
    build = facts_of(spec)
    items = [*take_off(build)[0], *cable_items(build)]
    lines = {line.role.name: line for line in spec.lines.all()}
    changed = []
    for item in items:
        held = [lines[role] for role in item.roles]
        if not held or not item.wanted:
            continue
        first, others = held[0], sum(line.quantity for line in held[1:])
        quantity = Decimal(str(round(item.wanted, 3))) - others
        if quantity > 0 and quantity != first.quantity:
            changed.append(spec.put(first.role, first.part, by, quantity=quantity))
    return changed
