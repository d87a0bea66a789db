"""When a job will be ready, and what drives that date. Pure, on plain values.

The forecast is the later of two days: the last part's expected arrival, and today plus the hours left at the
workshop's hours a week, counted in working days. It looks at one job by itself.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from math import ceil

from django.utils.formats import number_format
from django.utils.translation import gettext as _

from .days import said, working_day

WORKING_DAYS = 5
HOURS, ARRIVAL, OVERDUE, LEAD_TIME, NOTHING = "hours", "arrival", "overdue", "lead time", "nothing"


@dataclass(frozen=True)
class Forecast:
    """The day a job will be ready, what drives it, and the parts nobody can give a date for.

    driver: HOURS, ARRIVAL (ordered, due), OVERDUE (was due, has not come), LEAD_TIME (not ordered) or NOTHING
    (nothing left to do). role and due: the part that drives. undated: roles with neither order nor lead time.
    """

    day: date
    driver: str
    hours_left: Decimal = Decimal(0)
    weekly_hours: Decimal = Decimal(0)
    role: str = ""
    due: date | None = None
    lead_days: int | None = None
    undated: tuple[str, ...] = ()

    @property
    def why(self):
        """What drives the date, in words."""
        says = {"role": self.role, "due": said(self.due) if self.due else "", "days": self.lead_days}
        if self.driver == HOURS:
            says = {
                "left": number_format(f"{round(self.hours_left, 1):.4g}"),
                "week": number_format(f"{self.weekly_hours:.4g}"),
            }
            because = _("%(left)s h left at %(week)s h a week") % says
        elif self.driver == ARRIVAL:
            because = _("%(role)s, due %(due)s") % says
        elif self.driver == OVERDUE:
            because = _("%(role)s, was due %(due)s and has not come") % says
        elif self.driver == LEAD_TIME:
            because = _("%(role)s, not ordered; %(days)s days from the cheapest supplier") % says
        else:
            because = _("nothing left to do")
        if self.undated:
            because += "; " + _("no date yet for %(roles)s") % {"roles": ", ".join(self.undated)}
        return because


def forecast(today, hours_left, weekly_hours, missing):
    """The forecast of one job.

    hours_left: Decimal. weekly_hours: bench hours a week, above zero. missing: waiting.Missing of the job.
    An arrival overdue is taken to come today, as nobody knows better; a part not ordered comes after the lead
    time of its cheapest supplier.

    >>> forecast(date(2026, 11, 27), Decimal(38), Decimal(30), []).day
    datetime.date(2026, 12, 8)
    """
    days = ceil(hours_left * WORKING_DAYS / weekly_hours)
    found = [Forecast(working_day(today, days), HOURS if hours_left else NOTHING, hours_left, weekly_hours)]
    undated = []
    for part in missing:
        arrival = _arrival(today, part)
        if arrival is None:
            undated.append(part.role)
        else:
            day, driver = arrival
            found.append(Forecast(day, driver, hours_left, weekly_hours, part.role, part.due, part.claim.lead_days))
    # On the same day a part says more than the hours do.
    last = max(found, key=lambda one: (one.day, one.driver not in (HOURS, NOTHING)))
    return Forecast(**{**vars(last), "undated": tuple(undated)})


def _arrival(today, part):
    """(day, driver) of a missing part, or None when nobody can say."""
    if part.ordered and part.due:
        return (part.due, ARRIVAL) if part.due >= today else (today, OVERDUE)
    if not part.ordered and part.claim.lead_days is not None and not part.claim.client_supplied:
        return today + timedelta(days=part.claim.lead_days), LEAD_TIME
    return None


def days_in_hand(promise, day):
    """Calendar days from the forecast to the promise; negative when it is late; None without a promise."""
    return None if promise is None else (promise - day).days
