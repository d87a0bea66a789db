"""The workshop's working time: who is at the bench when. Pure, on plain values.

All open days stand one after another on an axis of slots of six minutes; closed days have none. A person with
a shorter day works its first slots. A moment is the number of slots before it.
"""

from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np

SLOTS_AN_HOUR = 10


@dataclass(frozen=True)
class WorkingTime:
    """today: first day of the axis. P people, T slots, D days.

    done: (P, T + 1) slots a person has worked before a moment. ends: (P, T + 1) the moment a person has worked so
    many slots. day_of: (T,) day number of a slot. opens: (D + 1,) first moment of a day, closed or not.
    """

    today: date
    done: np.ndarray
    ends: np.ndarray
    day_of: np.ndarray
    opens: np.ndarray
    _views: dict = field(default_factory=dict, repr=False)

    def of_person(self, row):
        """(done, ends) of one person as views, from which single look-ups read faster than from arrays."""
        if row not in self._views:
            self._views[row] = self.done[row].data, self.ends[row].data
        return self._views[row]

    @property
    def last(self):
        """The last moment of the axis; what would end later is said to end then."""
        return len(self.day_of)

    @property
    def is_even(self):
        """Everybody works in every slot."""
        return bool((self.done[:, -1] == self.last).all())

    def moment(self, day):
        """The first moment of a date; of one before today, or None, the beginning."""
        if day is None or day <= self.today:
            return 0
        return int(self.opens[min((day - self.today).days, len(self.opens) - 1)])

    def day(self, moment, is_start=False):
        """The date on which work ends at a moment (or starts, where a day ends and the next begins)."""
        slot = min(max(int(moment) - (not is_start), 0), self.last - 1)
        return self.today + timedelta(days=int(self.day_of[slot]))

    def days(self, moments):
        """The same for an array of ends, as day numbers from today."""
        return self.day_of[np.clip(moments - 1, 0, self.last - 1)]


def working_time(today, weeks, days, closed=(), away=()):
    """Lay out the axis for `days` days from today.

    weeks: for each person the hours of Monday to Sunday. closed: dates on which nobody works. away: for each
    person pairs of first and last date. Raises ValueError when nobody works at all.

    >>> time = working_time(date(2026, 11, 27), [[8, 8, 8, 8, 8, 0, 0]], 7)
    >>> time.day(time.moment(date(2026, 11, 28)), is_start=True), time.last
    (datetime.date(2026, 11, 30), 400)
    """
    hours = np.asarray(weeks, float).reshape(-1, 7)[:, (np.arange(days) + today.weekday()) % 7]
    shut = [number for number in ((day - today).days for day in closed) if 0 <= number < days]
    hours[:, shut] = 0
    for row, spans in zip(hours, away, strict=False):
        for first, until in spans:
            row[max((first - today).days, 0) : max((until - today).days + 1, 0)] = 0
    slots = np.rint(hours * SLOTS_AN_HOUR).astype(np.int32)
    if not slots.any():
        raise ValueError("nobody works")
    slots = slots[slots.any(axis=1)]
    long = slots.max(axis=0)
    opens = np.concatenate([[0], np.cumsum(long)])
    day_of = np.repeat(np.arange(days, dtype=np.int32), long)
    works = np.arange(len(day_of)) - opens[day_of] < slots[:, day_of]
    done = np.zeros((len(slots), len(day_of) + 1), np.int32)
    np.cumsum(works, axis=1, out=done[:, 1:])
    ends = np.full_like(done, len(day_of))
    for row, mine in zip(ends, works, strict=True):
        found = np.flatnonzero(mine) + 1
        row[0], row[1 : len(found) + 1] = 0, found
    return WorkingTime(today, done, ends, day_of, opens)
