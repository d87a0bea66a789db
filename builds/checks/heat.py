"""Heat and flow: the loop's operating point, solved and judged."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from .facts import BLOCKS, BuildFacts
from .findings import Finding
from .loop_model import RULE, Basis, LoopModel, model_of
from .plastics import lowest_limit
from .solving import Ranged, mishaps, ranged, solved, swept, text_of

NOTHING = "Nothing to do."  # what the model's remarks say when all is well; a page says nothing then


@dataclass(frozen=True)
class Operating:
    """What is known of one loop. result: a thermal Result, or None when the loop cannot be solved (see `faults`).

    prior: what the workshop has learnt, as the build holds it; the range and all that follows from it rest on it.
    """

    name: str
    model: LoopModel
    result: object | None = None
    faults: tuple = ()
    basis: tuple[Basis, ...] = ()
    prior: str = ""

    @property
    def spread(self) -> Ranged | None:
        """The range of a solved point."""
        return None if self.result is None else ranged(text_of(self.model.document), self.prior)

    @property
    def sweep(self):
        """A solved point's loop over the fans' speeds, all radiators together, with its range."""
        return swept(text_of(self.model.document), self.prior)

    @property
    def mishaps(self):
        """What a solved point's loop comes to when something fails."""
        return mishaps(text_of(self.model.document))

    def as_document(self):
        """The loop with its answer, range and the prior it rests on, as plain data to keep beside a paper."""
        from thermal.document import write_result

        return {"name": self.name, "loop": self.model.document, "result": write_result(self.result, self.spread)}


def operating_points(build: BuildFacts):
    """The Operating of every loop that has components."""
    return [operating(build, loop) for loop in build.loops if loop.steps]


def operating(build, loop):
    model = model_of(build, loop)
    if model.document is None:
        return Operating(loop.name, model, basis=model.basis)
    result, faults = solved(text_of(model.document))
    assumed = () if result is None else tuple(_assumed(one) for one in result.loop.assumed)
    return Operating(loop.name, model, result, faults, (*model.basis, *assumed), build.prior)


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
    return list(dict.fromkeys([*found, *_twice(build)]))


def _twice(build):
    """What two blocks are said to cool gives its whole heat to each: the coolant gets it twice."""
    over = {}
    for _loop, _step, line in build.steps():
        if line.kind in BLOCKS:
            cooled = [build.cooled_by(line)]
            cooled += build.of_kind("processor") if line.kind == "board_block" and line.yes("cools_processor") else []
            for part in filter(None, cooled):
                over.setdefault(part.role, []).append(line)
    return [
        RULE.caution(
            _("%(blocks)s are both said to cool %(part)s, so its heat is counted at each.")
            % {"blocks": _(" and ").join(line.part for line in lines), "part": build.line(role).part},
            _("Choose at its step what each block cools, or take one out of the loop."),
            *lines, build.line(role), blocks=len(lines),
        )
        for role, lines in over.items()
        if len(lines) > 1
    ]  # fmt: skip


def findings(build, point):
    """The findings on one loop's operating point, missing facts first."""
    from thermal.judging import judge

    remarks = point.faults
    if point.result is not None:
        remarks = judge(point.result, limits_of(build), point.spread.ranges)
    told = [_finding(build, remark, point) for remark in remarks]
    return [*point.model.lacking, *point.model.wanting, *told, *_sound(build, point)]


def limits_of(build):
    """The `thermal.judging.Limits` that hold for a build."""
    from thermal.judging import Limits

    lowest = lowest_limit(build)
    return Limits(plastic_limit=lowest[0] if lowest else None)


def _finding(build, remark, point):
    line = build.line(remark.about) if remark.about else None
    rounded = {key: round(value, 1) if isinstance(value, float) else value for key, value in remark.values.items()}
    between = _between(remark, point)
    # The loop's name tells two loops' findings apart; it counts as the role where no single component is meant.
    return Finding(
        severity=remark.severity,
        sentence=_(remark.template).format(**remark.values) + _range(between),
        action="" if remark.remedy == NOTHING else _(remark.remedy),
        rule=RULE.key,
        source=f"{_(remark.rule)}; {_(remark.source)}",
        roles=(line.role,) if line else (point.name,),
        parts=(line.part,) if line else (),
        numbers=(("rule", remark.key), *sorted(rounded.items()), *between.items()),
    )


# What a remark speaks of → (its figure in the range, unit, digits, factor from SI).
_RANGES = {
    **dict.fromkeys(("good", "fair", "warm"), ("mean_over_room", "K", 1, 1.0)),
    **dict.fromkeys(("coolant stop", "coolant caution"), ("coolant.max", "°C", 1, 1.0)),
    **dict.fromkeys(("part stop", "part caution", "part unknown"), ("components.{about}", "°C", 0, 1.0)),
    **dict.fromkeys(("flow stop", "flow caution"), ("flow", "L/min", 2, 60000.0)),
    **dict.fromkeys(("thumb within", "thumb outside"), ("radiators.{about}.conductance", "W", 0, 10.0)),
}


def _between(remark, point):
    """{"low", "high", "unit"} of the 10–90 % range of what a remark speaks of; empty where it has none.

    It counts among a finding's numbers: a waiver is void once the range that it was given for moves.
    """
    key, unit, digits, factor = _RANGES.get(remark.key, ("", "", 0, 1.0))
    both = point.spread.low_high(key.format(about=remark.about)) if key and point.spread else None
    if both is None:
        return {}
    low, high = (f"{factor * value:.{digits}f}" for value in both)
    return {"low": low, "high": high, "unit": unit}


def _range(between):
    """The range as words after a sentence."""
    return " " + _("Range %(low)s–%(high)s %(unit)s.") % between if between else ""


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
