"""When a job will be ready, what drives that date and how sure it is. Pure, on plain values."""

from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import NamedTuple

from django.utils.formats import number_format
from django.utils.translation import gettext as _

from .days import said

HOURS, ARRIVAL, OVERDUE, LEAD_TIME, NOTHING = "hours", "arrival", "overdue", "lead time", "nothing"


class Planned(NamedTuple):
    """When an open task is planned, the last day it may end on, whether it stands on the critical chain."""

    start: date
    end: date
    latest: date
    is_critical: bool


@dataclass(frozen=True)
class Forecast:
    """The day a job will be ready, what drives it, and the parts nobody can give a date for.

    driver: HOURS, ARRIVAL (ordered, due), OVERDUE (was due, has not come), LEAD_TIME (not ordered) or NOTHING
    (nothing left to do). half, most: the days by which it is ready in 50 and 80 of 100 cases. role, due: the part
    that drives. whose: the other job that the part or the hours belong to, empty for its own. without: the day it
    would be ready if that part were here. undated: roles with neither order nor lead time.
    steps: when each open task is planned, (task id, start, end, latest end, whether critical) with days counted from
    today; kept apart from the rest (packing.unpacked_steps makes Planned of them).
    """

    day: date
    driver: str
    half: date | None = None
    most: date | None = None
    hours_left: float = 0.0
    weekly_hours: float = 0.0
    role: str = ""
    due: date | None = None
    lead_days: int | None = None
    whose: str = ""
    without: date | None = None
    undated: tuple[str, ...] = ()
    steps: tuple = field(default=(), compare=False)

    @property
    def why(self):
        """What drives the date, in words."""
        because = self._because()
        if self.without and self.without < self.day:
            because += "; " + _("without it %(day)s") % {"day": said(self.without)}
        if self.undated:
            because += "; " + _("no date yet for %(roles)s") % {"roles": ", ".join(self.undated)}
        return because

    @property
    def odds(self):
        """How sure it is, in words; empty while nothing is left to do."""
        if not self.most:
            return ""
        return _("even odds by %(half)s, four in five by %(most)s") % {
            "half": said(self.half), "most": said(self.most),
        }  # fmt: skip

    def _because(self):
        role = _("%(role)s for %(job)s") % {"role": self.role, "job": self.whose} if self.whose else self.role
        says = {"role": role, "due": said(self.due) if self.due else "", "days": self.lead_days}
        if self.driver == HOURS:
            left = number_format(f"{round(self.hours_left, 1):.4g}")
            week = number_format(f"{self.weekly_hours:.4g}")
            says = {"left": left, "week": week}
            if self.whose:
                return _("%(left)s h left, after work on %(job)s") % {**says, "job": self.whose}
            return _("%(left)s h left at %(week)s h a week") % says
        if self.driver == ARRIVAL:
            return _("%(role)s, due %(due)s") % says
        if self.driver == OVERDUE:
            return _("%(role)s, was due %(due)s and has not come") % says
        if self.driver == LEAD_TIME:
            return _("%(role)s, not ordered; %(days)s days from the cheapest supplier") % says
        return _("nothing left to do")


def arrival(today, part):
    """(day, driver) of a missing part, or None when nobody can say.

    An arrival overdue is taken to come today, as nobody knows better; a part not ordered comes after the lead time
    of its cheapest supplier.
    """
    if part.ordered and part.due:
        return (part.due, ARRIVAL) if part.due >= today else (today, OVERDUE)
    if not part.ordered and part.claim.lead_days is not None and not part.claim.client_supplied:
        return today + timedelta(days=part.claim.lead_days), LEAD_TIME
    return None


def days_in_hand(promise, day):
    """Calendar days from the forecast to the promise; negative when it is late; None without a promise."""
    return None if promise is None else (promise - day).days
