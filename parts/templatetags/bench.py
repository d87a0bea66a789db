"""Tags of every page: the once-token, money, numbers."""

from django import template
from django.utils import timezone
from django.utils.formats import date_format, number_format
from django.utils.html import format_html

from parts.workshop.models import Once
from parts.workshop.money import MINOR_UNITS, rounded

register = template.Library()


@register.simple_tag
def once():
    """The hidden one-time mark of a form that is only a button."""
    return format_html('<input type="hidden" name="once" value="{}">', Once.fresh())


@register.filter
def money(amount, currency="EUR"):
    """An amount in the workshop's way of writing, without the currency's sign; a dash for none."""
    if amount is None:
        return "–"
    return number_format(rounded(amount, currency), MINOR_UNITS.get(currency, 2), use_l10n=True, force_grouping=True)


@register.filter
def price_each(amount, currency="EUR"):
    """The price of one: as money, with more decimals where a pack's price comes to that."""
    if amount is None:
        return "–"
    places = max(MINOR_UNITS.get(currency, 2), -amount.normalize().as_tuple().exponent)
    return number_format(amount, places, use_l10n=True, force_grouping=True)


@register.filter
def number(value, digits=None):
    """A number without trailing zeros, or rounded to a fixed count of digits (Django alone would cut them off).

    >>> number(1.0771, 2), number(0.5), number(None)
    ('1.08', '0.5', '–')
    """
    if value is None or value == "":
        return "–"
    if digits is not None:
        return number_format(f"{float(value):.{int(digits)}f}", int(digits), use_l10n=True)
    text = f"{float(value):.6g}"
    return number_format(text if "e" not in text else f"{float(value):f}", use_l10n=True)


@register.filter
def moment(value):
    """Day and time of day where the workshop is, as in 3 Mar 2026 14:05; a dash for none."""
    if not value:
        return "–"
    local = timezone.localtime(value)
    return f"{date_format(local)} {local:%H:%M}"
