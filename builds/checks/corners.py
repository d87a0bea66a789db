"""Stacks that meet at a corner of the case, and a top stack that hangs over the board."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .rule import Rule
from .stack import depth_of

RULE = Rule("corners", _l("corners and board edge"), _l("geometry; the margin is common practice"))
CORNERS = (("top", "front"), ("top", "rear"), ("bottom", "front"), ("bottom", "rear"))
NEAR_MM = 5.0


def check(build):
    cases = build.of_kind("case")
    if len(cases) != 1:
        return []
    stacks, found = {}, []
    for _loop, step, line in build.steps():
        if line.kind == "radiator" and step.place not in {"", "outside"}:
            stacks.setdefault(step.place, (step, line))
    for one, other in CORNERS:
        if one in stacks and other in stacks:
            found += _corner(build, cases[0], (one, *stacks[one]), (other, *stacks[other]))
    return found + (_board_edge(build, cases[0], *stacks["top"]) if "top" in stacks else [])


def slack(one, other):
    """Free length of the better of two ways round a corner, mm: either stack gives way to the other.

    one, other: (clear length of its place, radiator's length, stack's depth), mm.
    >>> slack((460.0, 397.0, 57.0), (420.0, 397.0, 57.0))
    6.0
    """
    return max(one[0] - one[1] - other[2], other[0] - other[1] - one[2])


def _corner(build, case, one, other):
    measures, unknown = [], []
    for place, step, radiator in (one, other):
        fact = f"{place}_length"
        unknown += RULE.unless_known(case, fact) + RULE.unless_known(radiator, "length", "thickness")
        measures.append((case.number(fact), radiator.number("length"), depth_of(build, step, radiator)))
    if unknown or None in (*measures[0], *measures[1]):
        return unknown
    free = slack(*measures)
    if free >= NEAR_MM:
        return []
    words = {"one": one[2].part, "other": other[2].part, "short": f"{-free:g}", "free": f"{free:g}"}
    lines, numbers = (one[2], other[2], case), {"free_mm": round(free, 1)}
    if free < 0:
        said = _("%(one)s and %(other)s meet at their corner: %(short)s mm are missing either way.") % words
        return [RULE.stop(said, _("Take a shorter or thinner one of the two."), *lines, **numbers)]
    said = _("%(one)s and %(other)s come within %(free)s mm at their corner.") % words
    return [RULE.caution(said, _("It looks cramped, and tubes need a hand's width."), *lines, **numbers)]


def _board_edge(build, case, step, radiator):
    unknown = RULE.unless_known(case, "board_gap", "board_offset")
    deep, gap, out = depth_of(build, step, radiator), case.number("board_gap"), case.number("board_offset")
    if unknown or deep is None or deep <= gap:
        return unknown
    found = []
    # A block over the modules stands higher than they do.
    for memory in build.of_kind("memory_block") or build.of_kind("memory"):
        tall = memory.number("height")
        if tall is None:
            found.append(RULE.missing(memory, "height"))
        elif tall > out:
            said = _("The stack of %(radiator)s hangs %(over)s mm beside the board; %(memory)s, %(tall)s mm, "
                     "is higher than the %(out)s mm there.") % {
                "radiator": radiator.part, "over": f"{deep - gap:g}", "memory": memory.part, "tall": f"{tall:g}",
                "out": f"{out:g}",
            }  # fmt: skip
            found.append(RULE.stop(said, _("Take lower memory, or a thinner stack."), radiator, memory, case,
                                   over_mm=round(deep - gap, 1), tall_mm=tall, out_mm=out))  # fmt: skip
    return found
