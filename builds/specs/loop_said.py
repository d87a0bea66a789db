"""An operating point in words: numbers with their unit, and the 10–90 % range beside them."""

from django.utils.formats import number_format
from django.utils.translation import gettext as _

L_MIN, M3_H = 60000.0, 3600.0


def said(value, digits=1, unit=""):
    """A number in local writing, with its unit; a dash where there is none."""
    if value is None:
        return "–"
    text = number_format(round(float(value), digits) + 0.0, digits, use_l10n=True)  # + 0.0: never “-0.0”
    return f"{text} {unit}".replace("-", "−").strip()


def range_said(spread, key, digits=1, unit="", factor=1.0):
    """The 10–90 % range of a figure in words, "" where it has none. factor: from SI."""
    both = spread.low_high(key) if spread else None
    if both is None:
        return ""
    return between(*(factor * value for value in both), digits, unit)


def between(low, high, digits=1, unit=""):
    """Two numbers as a range; spelt out where a sign would run into the dash.

    >>> between(12.1, 16.4, 1, "K"), between(-22.0, 30.0, 0)
    ('12.1–16.4 K', '−22 to 30')
    """
    text = f"{said(low, digits)}–{said(high, digits)} {unit}".strip()
    if min(low, high) >= 0:
        return text
    told = {"low": said(low, digits), "high": said(high, digits)}
    return f"{_('%(low)s to %(high)s') % told} {unit}".strip()
