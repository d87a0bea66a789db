"""Radiator and fans against the free depth and the hole pattern of their place in the case."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .places import INSIDE, patterns, said, takes
from .rule import Rule

RULE = Rule("stack", _l("radiator and fans in their place"), _l("geometry; the margin is common practice"))
NEAR_MM = 5.0
BRACKETED = (120.0, 140.0)


def check(build):
    cases, placed = build.of_kind("case"), set()
    found = []
    for _loop, step, line in build.steps():
        if line.kind == "radiator" and step.place:
            placed.add(line.role)
            if step.place == "outside":
                continue
            found += [f for case in cases for f in _in_place(build, case, step, line)] or _needs_case(cases, line)
    for radiator in build.of_kind("radiator"):
        if radiator.role not in placed:
            found += [f for case in cases for f in _anywhere(case, radiator)] or _needs_case(cases, radiator)
    return found + _shared(build)


def depth_of(build, step, radiator):
    """Radiator, its rows of fans, gasket and grille, mm; None while a thickness is not known."""
    fans = fans_of(build, step)
    parts = [radiator.number("thickness"), *([fans.number("thickness")] * step.layers if fans else [])]
    return None if None in parts else sum(parts) + step.gasket_mm


def fans_of(build, step):
    """The line of the fans that sit on a step's radiator, or None."""
    return build.line(step.fans) if step.fans and step.fan_count else None


def _in_place(build, case, step, radiator):
    fans = fans_of(build, step)
    found = _pattern(case, step.place, radiator)
    unknown = RULE.unless_known(radiator, "thickness")
    unknown += RULE.unless_known(fans, "thickness") if fans else []
    unknown += RULE.unless_known(case, f"{step.place}_depth")
    if unknown:
        return found + unknown
    deep, free = depth_of(build, step, radiator), case.number(f"{step.place}_depth")
    words = {
        "radiator": radiator.part, "place": _place(step.place), "deep": f"{deep:g}", "free": f"{free:g}",
        "with": _(" with %(fans)s") % {"fans": fans.part} if fans else "", "left": f"{free - deep:g}",
    }  # fmt: skip
    lines, numbers = [radiator, *([fans] if fans else []), case], {"stack_mm": deep, "free_mm": free}
    if deep > free:
        found.append(
            RULE.stop(
                _("%(radiator)s%(with)s is %(deep)s mm deep; the %(place)s place has %(free)s mm.") % words,
                _("Take a thinner radiator or fan, one row of fans, or another place."), *lines, **numbers,
            )
        )  # fmt: skip
    elif free - deep < NEAR_MM:
        found.append(
            RULE.caution(
                _("%(radiator)s%(with)s is %(deep)s mm deep in %(free)s mm at the %(place)s place: %(left)s mm left.")
                % words,
                _("Has its step gasket and grille? It will look cramped, and tubes need a hand's width."),
                *lines, **numbers,
            )
        )  # fmt: skip
    return found


def _pattern(case, place, radiator):
    pattern = patterns(case, place)
    unknown = RULE.unless_known(radiator, "sections", "section_size")
    unknown += RULE.unless_known(case, f"{place}_places")
    if unknown or takes(pattern, radiator.number("sections"), radiator.number("section_size")):
        return unknown
    return [
        RULE.stop(
            _("%(radiator)s is %(size)s; the %(place)s place of %(case)s takes %(pattern)s.")
            % {
                "radiator": radiator.part, "size": size_of(radiator), "place": _place(place), "case": case.part,
                "pattern": said(pattern),
            },
            _bracket(radiator),
            radiator, case, size=size_of(radiator), pattern=said(pattern),
        )
    ]  # fmt: skip


def _bracket(radiator):
    """What to do about another hole pattern: brackets exist for some sizes alone. Common practice."""
    if radiator.number("section_size") in BRACKETED:
        return _("Choose another place, another radiator, or plan a bracket and measure it.")
    return _("Choose another place or another radiator: brackets exist for 120 and 140 mm alone.")


def _anywhere(case, radiator):
    """A radiator whose place is not chosen yet: does any place take it, leaving fans aside?"""
    unknown = RULE.unless_known(radiator, "sections", "section_size", "thickness")
    if unknown:
        return unknown
    fits = []
    for place in INSIDE:
        pattern, free = patterns(case, place), case.number(f"{place}_depth")
        if pattern is None and free is None:
            continue
        wide = pattern is None or takes(pattern, radiator.number("sections"), radiator.number("section_size"))
        if wide and (free is None or free >= radiator.number("thickness")):
            fits.append(place)
    if fits:
        return [
            RULE.caution(
                _("%(radiator)s has no place in the case yet; without fans it fits %(places)s.")
                % {"radiator": radiator.part, "places": ", ".join(_place(p) for p in fits)},
                _("Put it into a loop and choose its place, so that its stack can be checked."),
                radiator, case, places=", ".join(fits),
            )
        ]  # fmt: skip
    known = [p for p in INSIDE if f"{p}_depth" in case.facts or f"{p}_places" in case.facts]
    if not known:
        return [RULE.missing(case, "front_places", "front_depth", "top_places", "top_depth")]
    return [
        RULE.stop(
            _("%(radiator)s (%(size)s, %(thick)s mm) fits no place known of %(case)s.")
            % {
                "radiator": radiator.part, "size": size_of(radiator), "case": case.part,
                "thick": f"{radiator.number('thickness'):g}",
            },
            _("Choose another radiator or case, or set its place to outside."),
            radiator, case, size=size_of(radiator), thickness_mm=radiator.number("thickness"),
        )
    ]  # fmt: skip


def size_of(radiator):
    sections, size = radiator.number("sections"), radiator.number("section_size")
    return f"{sections:g}×{size:g} mm"


def _needs_case(cases, radiator):
    if cases:
        return []
    return [
        RULE.caution(
            _("%(radiator)s cannot be checked: the spec has no case.") % {"radiator": radiator.part},
            _("Add the case, or set the radiator's place to outside."), radiator,
        )
    ]  # fmt: skip


def _shared(build):
    """Two radiators in one place."""
    at = {}
    for _loop, step, line in build.steps():
        if line.kind == "radiator" and step.place and step.place != "outside":
            at.setdefault(step.place, []).append(line)
    return [
        RULE.caution(
            _("%(radiators)s share the %(place)s place.")
            % {"radiators": ", ".join(line.part for line in lines), "place": _place(place)},
            _("Measure that their stacks and tubes clear each other."), *lines, place=place,
        )
        for place, lines in at.items()
        if len(lines) > 1
    ]  # fmt: skip


def _place(key):
    return {
        "front": _("front"), "top": _("top"), "rear": _("rear"), "bottom": _("bottom"), "side": _("side"),
        "outside": _("outside"),
    }.get(key, key)  # fmt: skip
