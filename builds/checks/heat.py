"""Heat and flow: the loop's operating point, solved and judged."""

import json
from dataclasses import dataclass
from functools import lru_cache

from django.utils.translation import gettext as _

from .facts import BLOCKS, BuildFacts
from .findings import Finding
from .loop_model import RULE, Basis, LoopModel, model_of
from .plastics import lowest_limit

NOTHING = "Nothing to do."  # what the model's remarks say when all is well; a page says nothing then


@dataclass(frozen=True)
class Operating:
    """What is known of one loop. result: a thermal Result, or None when the loop cannot be solved (see `faults`)."""

    name: str
    model: LoopModel
    result: object | None = None
    faults: tuple = ()
    basis: tuple[Basis, ...] = ()


def operating_points(build: BuildFacts):
    """The Operating of every loop that has components."""
    return [operating(build, loop) for loop in build.loops if loop.steps]


def operating(build, loop):
    model = model_of(build, loop)
    if model.document is None:
        return Operating(loop.name, model, basis=model.basis)
    result, faults = solved(json.dumps(model.document, sort_keys=True))
    assumed = () if result is None else tuple(_assumed(one) for one in result.loop.assumed)
    return Operating(loop.name, model, result, faults, (*model.basis, *assumed))


@lru_cache(maxsize=256)
def solved(document):
    """(Result, ()) of a loop document as JSON text, or (None, the faults' remarks); one solve a document."""
    from thermal.document import read_loop
    from thermal.faults import LoopFault
    from thermal.judging import judge_fault
    from thermal.loop import solve

    try:
        return solve(read_loop(json.loads(document))), ()
    except LoopFault as fault:
        return None, tuple(judge_fault(fault))


def _assumed(assumption):
    from thermal.units import format_quantity

    value, unit = float(assumption.value), assumption.unit
    if unit == "m" and value < 1:
        value, unit = 1000 * value, "mm"
    shown = f"{value:g}" if unit == "int" else format_quantity(value, unit, 4)
    role, _dot, more = assumption.part.partition(".")
    what = f"{_(more)}: {_(assumption.meaning)}" if more else _(assumption.meaning)
    return Basis(role, what, shown, "assumed", _(assumption.check) if assumption.check else "")


def check(build):
    found = []
    if not any(loop.steps for loop in build.loops):
        return [_no_loop(build)] if build.of_kind(*BLOCKS, "radiator") else []
    for point in operating_points(build):
        found += findings(build, point)
    return list(dict.fromkeys(found))


def findings(build, point):
    """The findings on one loop's operating point, missing facts first."""
    remarks = point.faults
    if point.result is not None:
        remarks = _judged(build, point.result)
    told = [_finding(build, remark, point) for remark in remarks]
    return [*point.model.lacking, *point.model.wanting, *told, *_sound(build, point)]


def _judged(build, result):
    from thermal.judging import Limits, judge

    lowest = lowest_limit(build)
    return judge(result, Limits(plastic_limit=lowest[0] if lowest else None))


def _finding(build, remark, point):
    line = build.line(remark.about) if remark.about else None
    rounded = {key: round(value, 1) if isinstance(value, float) else value for key, value in remark.values.items()}
    # The loop's name tells two loops' findings apart; it counts as the role where no single component is meant.
    return Finding(
        severity=remark.severity,
        sentence=_(remark.template).format(**remark.values),
        action="" if remark.remedy == NOTHING else _(remark.remedy),
        rule=RULE.key,
        source=f"{_(remark.rule)}; {_(remark.source)}",
        roles=(line.role,) if line else (point.name,),
        parts=(line.part,) if line else (),
        numbers=(("rule", remark.key), *sorted(rounded.items())),
    )


def _sound(build, point):
    wish, level = build.noise_wish_db, getattr(point.result, "sound_level", None)
    if wish is None or level is None or float(level) <= wish:
        return []
    return [
        RULE.caution(
            _("At this speed the declared levels add up to %(level).1f dB; the client wishes %(wish)g dB.")
            % {"level": float(level), "wish": wish},
            _("Lower the fan speed as far as the coolant allows. Levels are declared: trust differences more."),
            level=round(float(level), 1), wish=wish,
        )
    ]  # fmt: skip


def _no_loop(build):
    return RULE.caution(
        _("The spec has no loop yet, so heat and flow are not known."),
        _("Lay the loop: put its components in the order in which coolant passes them."),
        *build.of_kind(*BLOCKS, "radiator"),
    )
