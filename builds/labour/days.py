"""Days as the workshop says them, and working days."""

from datetime import date
from functools import lru_cache

import numpy as np
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import get_language


def said(day):
    """A day in words, with its year only when that is another one: "Thu 3 Dec"."""
    return _said(day, "D j M" if _is_this_year(day) else "j M Y", get_language())


def short(day):
    """A day in a column of dates: "3 Dec"."""
    return _said(day, "j M" if _is_this_year(day) else "j M Y", get_language())


def _is_this_year(day):
    now = timezone.now()
    return day.year == _year_at(now.replace(minute=now.minute // 15 * 15, second=0, microsecond=0))


@lru_cache(maxsize=16)  # a board asks for every date it says; zones keep step with quarters of an hour
def _year_at(moment):
    return timezone.localtime(moment).year


@lru_cache(maxsize=4096)  # a board says the same few days over and over
def _said(day, form, _language):
    return date_format(day, form)


def working_day(start, days):
    """The day `days` working days (Monday to Friday) after `start`; `start` itself for none.

    >>> working_day(date(2026, 11, 27), 1)
    datetime.date(2026, 11, 30)
    >>> working_day(date(2026, 11, 28), 0)
    datetime.date(2026, 11, 28)
    """
    if days <= 0:
        return start
    # From a weekend the count starts at the Friday before, so that the first working day is the Monday.
    return np.busday_offset(start, days, roll="backward").astype(date)
