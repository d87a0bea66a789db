"""What the workshop's soak tests taught, for the learning page."""

import math
from dataclasses import dataclass, field

from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _

from builds.checks.lessons import course
from builds.checks.solving import narrowing
from builds.plots.bars import Bar, bars
from builds.plots.chart import Axis, Band, Line, chart

from .loop_drawn import WIDTH
from .loop_said import said

CHARTED = 40  # jobs, the newest


@dataclass(frozen=True)
class Lesson:
    """One job's row. readings: [(what was read, measured against predicted)]; factors: [(before, after)] texts."""

    row: object
    readings: list = field(default_factory=list)
    faults: tuple = ()
    factors: list = field(default_factory=list)


def factor_names():
    """The four common factors, as thermal.prior orders them."""
    return [_("air flow"), _("air side"), _("processor block"), _("graphics block")]


def learning_of(lessons):
    """The context of the learning page for SoakLessons with job and persons, in their order."""
    told = course(lessons)
    rows = [_lesson(one) for one in told]
    last = told[-1].after if told else None
    first = told[0].before if told else None
    now = list(zip(factor_names(), _factors(first), _factors(last), strict=True)) if told else []
    return {
        "lessons": rows[::-1],
        "now": now,
        "charts": _charts(told),
        "counting": sum(not r.aside_at for r in lessons),
    }


def _lesson(told):
    readings = [
        (name, _signed(residual), said(normalised, 1), name in step.flagged)
        for step in told.steps
        for name, residual, normalised in zip(step.what, step.residuals, step.normalised, strict=True)
    ]
    return Lesson(told.lesson, readings, told.faults, _pairs(told))


def _signed(residual):
    """How far a rise was from the foretold one, as "+5 %"."""
    off = 100 * (math.exp(residual) - 1)
    return ("+" if off >= 0.5 else "") + said(off, 0, "%")


def _pairs(told):
    return list(zip(factor_names(), _factors(told.before), _factors(told.after), strict=True)) if told.steps else []


def _factors(prior):
    """["1.04 ± 9 %"] of the four factors: the middle of each and its standard deviation."""
    return [
        f"{said(math.exp(mean), 2)} ± {said(100 * sd, 1, '%')}"
        for mean, sd in zip(prior.mean, prior.deviations, strict=True)
    ]


def _charts(told):
    """[(title, picture)]: each factor's scatter, and the newest machine's coolant as each job left it foretold."""
    counted = [one for one in told if one.steps][-CHARTED:]
    if not counted:
        return []
    priors = [counted[0].before, *(one.after for one in counted)]
    both = _scatter(priors), _narrowed(counted[-1].lesson.readings[0]["loop"], priors)
    return [drawn for drawn in both if drawn]


def _scatter(priors):
    before, now = priors[0].deviations, priors[-1].deviations
    rows = [
        Bar(name, 100 * last, f"{said(100 * last, 1, '%')} · {said(100 * first, 1, '%')}", against=100 * first)
        for name, first, last in zip(factor_names(), before, now, strict=True)
    ]
    keys = {"bar": _("now"), "against": _("before the first of these")}
    title = _("Scatter of each factor, one standard deviation")
    return title, mark_safe(bars(title, rows, keys=keys, width=WIDTH))


def _narrowed(document, priors):
    ranges = narrowing(document, priors)
    if not ranges:
        return None
    marks = [
        Band(tuple((n, low, high) for n, (low, _middle, high) in enumerate(ranges)), _("range, 10–90 %")),
        Line(tuple((n, middle) for n, (_low, middle, _high) in enumerate(ranges)), _("middle")),
    ]
    first, last = (high - low for low, _middle, high in (ranges[0], ranges[-1]))
    desc = _("From %(first)s to %(last)s wide.") % {"first": said(first, 1, "K"), "last": said(last, 1, "K")}
    across = Axis(_("soak tests learnt from"), low=0, high=max(len(priors) - 1, 1))
    title = _("Coolant over room of the newest machine, as foretold")
    return title, mark_safe(chart(title, marks, across, Axis("K"), None, desc, width=WIDTH))
