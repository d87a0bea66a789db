"""How many of what a spec holds: the numbers that scale a plan's hours. Pure."""

from collections import Counter
from math import ceil

from builds.checks.facts import BLOCKS

# Parts that coolant passes: a loop of n of them has n tube runs.
IN_THE_LOOP = {*BLOCKS, "radiator", "pump", "pump_reservoir", "reservoir"}
COUNTED = {"radiator": "radiator", "fan": "fan", "fitting": "fitting", "cable": "cable"}


def counts_of(lines, steps):
    """How many radiators, blocks, fans, fittings, cables and tube runs there are, and one job.

    lines: (kind, quantity) of each spec line. steps: how many components stand in the spec's loops; while no
    loop order is drawn, every part that coolant passes is taken to add one run.

    >>> found = counts_of([("radiator", 2), ("processor_block", 1), ("pump_reservoir", 1), ("fan", 6)], 0)
    >>> found["radiator"], found["block"], found["run"], found["cable"], found["job"]
    (2, 1, 4, 0, 1)
    """
    found = Counter({"job": 1})
    wet = 0
    for kind, quantity in lines:
        each = ceil(quantity)
        if kind in COUNTED:
            found[COUNTED[kind]] += each
        if kind in BLOCKS:
            found["block"] += each
        if kind in IN_THE_LOOP:
            wet += each
    found["run"] = steps or wet
    return found
