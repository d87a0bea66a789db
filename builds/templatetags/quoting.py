"""Filters of quotes and bills: prices each and quantities, written as a person would."""

from decimal import Decimal

from django import template
from django.utils.formats import number_format

from parts.workshop.money import MINOR_UNITS

register = template.Library()


@register.filter
def price(value, currency="EUR"):
    """A price each: at least the currency's decimals, more where it has more."""
    if value is None:
        return "–"
    decimals = max(MINOR_UNITS.get(currency, 2), -Decimal(value).normalize().as_tuple().exponent)
    return number_format(value, decimals, use_l10n=True, force_grouping=True)


@register.filter
def quantity(value):
    """A quantity without trailing zeros.

    >>> quantity(Decimal("6.500")), quantity(Decimal("18.000"))
    ('6.5', '18')
    """
    if value is None:
        return "–"
    value = Decimal(value)
    decimals = max(0, -value.normalize().as_tuple().exponent)
    return number_format(value, decimals, use_l10n=True, force_grouping=True)
