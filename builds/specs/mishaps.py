"""What becomes of a loop when something fails, in words: the what-ifs of the loop page."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from builds.checks.findings import CAUTION, STOP

from .loop_said import L_MIN, said


@dataclass(frozen=True)
class WhatIf:
    """One row. warmest, hottest, flow, settles: texts; verdict: "", "caution" or "stop", with `why` in words."""

    name: str
    warmest: str = "–"
    hottest: str = "–"
    flow: str = "–"
    settles: str = "–"
    verdict: str = ""
    why: str = ""


def what_ifs(point, limits):
    """[WhatIf] of a solved Operating, first as it runs."""
    rows = [_row(_("as it runs"), point.result, limits)]
    for (what, name), answer in point.mishaps.items():
        rows.append(_row(_name(what, name), answer, limits))
    return rows


def _name(what, name):
    said_as = {
        "fan stopped": _("a fan of %(radiator)s stopped"),
        "half pump speed": _("pump at half its speed"),
        "room 10 K warmer": _("room 10 K warmer"),
        "dust": _("dust: a fifth less air"),
    }
    return said_as[what] % {"radiator": name} if name else said_as[what]


def _row(name, answer, limits):
    from thermal.judging import judge, judge_fault
    from thermal.result import Result

    if not isinstance(answer, Result):
        return WhatIf(name, verdict=STOP, why=" ".join(_sentence(remark) for remark in judge_fault(answer)))
    remarks = judge(answer, limits)
    worst = next((severity for severity in (STOP, CAUTION) if any(r.severity == severity for r in remarks)), "")
    why = " ".join(_sentence(remark) for remark in remarks if remark.severity == worst) if worst else ""
    hottest = max(((float(value), block) for block, value in answer.components.items()), default=None)
    return WhatIf(
        name, said(answer.warmest, 1, "°C"),
        f"{said(hottest[0], 0, '°C')} {hottest[1]}" if hottest else "–",
        said(answer.flow * L_MIN, 1, "L/min"), _settles(answer), worst, why,
    )  # fmt: skip


def _settles(result):
    from thermal.soak import TIME_CONSTANTS, time_constant

    minutes = TIME_CONSTANTS * time_constant(result) / 60.0
    return said(minutes, 0 if minutes >= 10 else 1, "min") if 0 < minutes < 1e4 else "–"


def _sentence(remark):
    return _(remark.template).format(**remark.values)
