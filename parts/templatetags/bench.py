"""Tags of every page: the once-token, money, numbers."""

from django import template
from django.utils.formats import number_format
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
    """A number without trailing zeros, or with a fixed count of digits."""
    if value is None or value == "":
        return "–"
    if digits is not None:
        return number_format(value, int(digits), use_l10n=True)
    text = f"{float(value):.6g}"
    return number_format(text if "e" not in text else f"{float(value):f}", use_l10n=True)
