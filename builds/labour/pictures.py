"""A job's time drawn: hours by task as bars, arrivals, forecast and promise as a ribbon. Pure."""

from django.utils.translation import gettext as _

from builds.plots.bars import Bar, bars
from builds.plots.ribbon import Happening, ribbon

from .days import short
from .outlook import tally_of
from .rows import hours_text

WIDE, NARROW = 760, 360


def hours_bars(states):
    """Hours logged by task, against what was quoted (before agreement the estimate), what is left in words."""
    is_agreed = any(state.task.quoted_hours is not None for state in states)
    rows = []
    for state in states:
        tally = tally_of(state.task, is_agreed)
        text = _("%(logged)s of %(quoted)s h, %(left)s left") % {
            name: hours_text(getattr(tally, name)) for name in ("logged", "quoted", "left")
        }
        rows.append(Bar(state.task.name, float(tally.logged), text, against=float(tally.quoted)))
    return bars(_("Hours by task"), rows, keys={"bar": _("logged"), "against": _("quoted")})


def job_ribbon(outlook, today):
    """{"wide": …, "narrow": …}: what is to come of a job until it is ready; None when nothing is."""
    told, found = outlook.forecast, _arrivals(outlook.missing, today)
    if outlook.has_plan or found:
        words = _("ready %(day)s") % {"day": short(told.day)}
        if told.most and told.most > told.day:
            words = _("ready %(day)s, four in five by %(most)s") % {"day": short(told.day), "most": short(told.most)}
        found.append(Happening(told.day, words, "forecast", told.most if told.most and told.most > told.day else None))
    if outlook.job.promise:
        day = outlook.job.promise
        found.append(Happening(day, _("promise %(day)s") % {"day": short(day)}, "promise"))
    return drawn(_("What is to come"), found, today) if found else None


def drawn(title, happenings, today):
    """The ribbon for a desk and for a phone."""
    said = {"today": today, "today_text": _("today"), "day_text": short}
    return {
        "wide": ribbon(title, happenings, width=WIDE, **said),
        "narrow": ribbon(title, happenings, width=NARROW, **said),
    }


def _arrivals(missing, today):
    """One happening a day: the roles that come on it; what is late stands at today."""
    days = {}
    for part in missing:
        if part.due:
            days.setdefault((max(part.due, today), part.is_late(today)), []).append(part)
    return [
        Happening(day, _label(parts, day, late), "late" if late else "arrival")
        for (day, late), parts in sorted(days.items(), key=lambda item: item[0])
    ]


def _label(parts, day, late):
    says = {"role": parts[0].role, "more": len(parts) - 1, "day": short(parts[0].due if late else day)}
    if late:
        return _("%(role)s and %(more)s more late") % says if says["more"] else _("%(role)s, late since %(day)s") % says
    return _("%(role)s and %(more)s more, %(day)s") % says if says["more"] else _("%(role)s, %(day)s") % says


def day_ribbon(sights, today, most=6):
    """The next promises of the shop and the days their jobs are ready, the most pressing first; None for none."""
    pressing = [s.outlook for s in sights if s.job.promise and s.outlook.has_plan][:most]
    found = []
    for outlook in pressing:
        says = {"job": str(outlook.job), "day": short(outlook.forecast.day), "promise": short(outlook.job.promise)}
        kind = "late" if outlook.in_hand < 0 else "forecast"
        found.append(Happening(outlook.forecast.day, _("%(job)s ready %(day)s") % says, kind))
        found.append(Happening(outlook.job.promise, _("%(job)s promised %(promise)s") % says, "promise"))
    return drawn(_("Promises to come"), found, today) if found else None
