"""Lengths of time as people type and read them. Pure."""

import re
from datetime import timedelta

from django.utils.translation import gettext as _

from thermal.units import QuantityError, read_quantity

_CLOCK = re.compile(r"(\d{1,2}):([0-5]\d)")
_BOTH = re.compile(r"(\d{1,2})\s*h\s*(\d{1,2})\s*(?:m|min|mins)?", re.IGNORECASE)


def read_duration(text):
    """A length of time as a timedelta: `1:30`, `1,5 h`, `1.5`, `90 min`, `1 h 30`. A bare number is hours.

    Raises ValueError with a sentence that says what to type.

    >>> [str(read_duration(text)) for text in ("1:30", "1,5 h", "1.5", "90 min", "1 h 30 min")]
    ['1:30:00', '1:30:00', '1:30:00', '1:30:00', '1:30:00']
    >>> read_duration("90")
    Traceback (most recent call last):
    ValueError: “90” is more than a day; for minutes type 90 min, else log each day by itself.
    """
    text = text.strip()
    both = _CLOCK.fullmatch(text) or _BOTH.fullmatch(text)
    if both:
        length = timedelta(hours=int(both[1]), minutes=int(both[2]))
    else:
        try:
            length = timedelta(hours=read_quantity(text, "h"))
        except (QuantityError, OverflowError):
            raise ValueError(
                _("“%(typed)s” is no length of time; type it as in 1:30 or 1.5 h or 90 min.") % {"typed": text}
            ) from None
    if length <= timedelta(0):
        raise ValueError(_("Type how long it took, as in 1:30."))
    if length > timedelta(hours=24):
        raise ValueError(
            _("“%(typed)s” is more than a day; for minutes type %(typed)s min, else log each day by itself.")
            % {"typed": text}
        )
    return length


def clock_text(length):
    """A length of time in hours and minutes.

    >>> clock_text(timedelta(hours=1, minutes=42, seconds=50))
    '1:42'
    """
    minutes = int(length.total_seconds()) // 60
    return f"{minutes // 60}:{minutes % 60:02d}"
