"""Fans on their radiator: the same holes, and enough of them."""

from collections import Counter

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .places import spacing
from .rule import Rule

RULE = Rule("fan pattern", _l("fans on their radiator"), _l("de facto hole spacing of square fans; common practice"))


def check(build):
    found, used = [], Counter()
    for _loop, step, line in build.steps():
        if line.kind != "radiator":
            continue
        fans = build.line(step.fans) if step.fans else None
        if fans is None or not step.fan_count:
            found.append(_bare(line))
            continue
        used[fans.role] += step.fan_count
        found += _holes(line, fans) + _count(line, step, fans)
    return found + _enough(build, used)


def _holes(radiator, fans):
    unknown = [*RULE.unless_known(radiator, "section_size"), *RULE.unless_known(fans, "size")]
    if unknown:
        return unknown
    section, size = radiator.number("section_size"), fans.number("size")
    words = {"fans": fans.part, "size": f"{size:g}", "radiator": radiator.part, "section": f"{section:g}"}
    numbers = {"fan_mm": size, "section_mm": section}
    mine, theirs = spacing(size), spacing(section)
    if mine is None or theirs is None:
        return [
            RULE.caution(
                _("%(fans)s (%(size)s mm) on %(radiator)s (%(section)s mm): hole spacing of this size is no standard.")
                % words,
                _("Measure the holes of both before ordering."), fans, radiator, **numbers,
            )
        ]  # fmt: skip
    if mine == theirs:
        return []
    return [
        RULE.stop(
            _("%(fans)s has holes %(mine)s mm apart, %(radiator)s %(theirs)s mm.")
            % {**words, "mine": f"{mine:g}", "theirs": f"{theirs:g}"},
            _("Choose fans of %(section)s mm for this radiator.") % words, fans, radiator, **numbers,
        )
    ]  # fmt: skip


def _count(radiator, step, fans):
    sections = radiator.number("sections")
    if sections is None:
        return [RULE.missing(radiator, "sections")]
    places = int(sections) * step.layers
    words = {"radiator": radiator.part, "places": places, "count": step.fan_count}
    numbers = {"fans": step.fan_count, "places": places}
    if step.fan_count > places:
        return [
            RULE.stop(
                _("%(radiator)s has places for %(places)d fans; the loop gives it %(count)d.") % words,
                _("Correct the count or the rows of fans at its step."), radiator, fans, **numbers,
            )
        ]  # fmt: skip
    if step.fan_count < places:
        return [
            RULE.note(
                _("%(radiator)s carries %(count)d fans in %(places)d places.") % words,
                _("Cover the open places, or air goes round instead of through."), radiator, fans, **numbers,
            )
        ]  # fmt: skip
    return []


def _bare(radiator):
    return RULE.caution(
        _("%(radiator)s has no fans in the loop.") % {"radiator": radiator.part},
        _("Choose the fans' role and their count at its step."), radiator,
    )  # fmt: skip


def _enough(build, used):
    return [
        RULE.stop(
            _("The radiators want %(wanted)d × %(fans)s; the spec has %(have)g.")
            % {"wanted": wanted, "fans": fans.part, "have": fans.quantity},
            _("Raise the quantity in the spec, or lower the count at a radiator."),
            fans, wanted=wanted, have=fans.quantity,
        )
        for role, wanted in used.items()
        if (fans := build.line(role)) and wanted > fans.quantity
    ]  # fmt: skip
