"""Quantities as a workshop counts them: whole pieces, or metres and litres to a thousandth."""

from decimal import ROUND_HALF_UP, Decimal

from django.utils.translation import gettext as _

from parts.workshop.refusal import Refused

STEP = Decimal("0.001")
MOST = Decimal("999999")


def counted(quantity, unit, field="quantity"):
    """A quantity fit to be stored, rounded to a thousandth of `unit`.

    Raises Refused at `field` when it is not above zero, too large, or a broken number of pieces.

    >>> counted(Decimal("1.5"), "m")
    Decimal('1.500')
    """
    if quantity is None:
        raise Refused(_("Type how many, as in 1."), field)
    quantity = Decimal(quantity).quantize(STEP, rounding=ROUND_HALF_UP)
    if quantity <= 0:
        raise Refused(_("Type a quantity above zero."), field)
    if quantity > MOST:
        raise Refused(_("Type a quantity up to %(most)s.") % {"most": shown(MOST)}, field)
    if unit == "each" and quantity != quantity.to_integral_value():
        raise Refused(_("This part is counted in pieces; type a whole number."), field)
    return quantity


def shown(quantity):
    """A quantity without trailing zeros.

    >>> shown(Decimal("20.000")), shown(Decimal("0.750"))
    ('20', '0.75')
    """
    return f"{Decimal(quantity).normalize():f}"
