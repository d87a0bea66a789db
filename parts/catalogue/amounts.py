"""Prices, quantities and bare numbers as they stand in a parts list. Pure; every fault is a ValueError that says so."""

import re
from decimal import Decimal

from django.utils.translation import gettext as _

from parts.workshop.forms import plain_number
from thermal.units import read_quantity

_SIGNS = {"€": "EUR", "$": "USD", "£": "GBP", "¥": "JPY", "ZŁ": "PLN", "KČ": "CZK"}
# A number, perhaps with a fraction as inches have them, and what stands behind it.
_MEASURE = re.compile(r"([+-]?(?:(?:\d+[ -])?\d+/\d+|\d*\s?[¼½¾⅛⅜⅝⅞]|[\d.,]+))(\s*[^\d\s/+–-].*)?")
_PIECES = re.compile(r"(x|×|pcs?|pieces?|stk|stck|stück|st|ea|each|off|pz|uds?)\.?", re.IGNORECASE)


def decimal_mark(cells):
    """The mark a list writes before its cents, when all of its amounts agree on one; else None.

    >>> decimal_mark(["12,50", "1.234,00 €", "8"]), decimal_mark(["12,50", "12.50"])
    (',', None)
    """
    marks = {found[1] for cell in cells if (found := re.search(r"\d([.,])\d{1,2}(?!\d)", cell))}
    return marks.pop() if len(marks) == 1 else None


def currency_part(text):
    """What is left of an amount without its digits and marks: "€ 12,50" gives "€"."""
    return re.sub(r"[\d.,'’\s+–—-]", "", text)


def named_currency(text):
    """The ISO 4217 code that a sign or a code names, or "".

    >>> named_currency("€"), named_currency("nok"), named_currency("kr")
    ('EUR', 'NOK', '')
    """
    code = _SIGNS.get(text.upper(), text.upper())
    return code if len(code) == 3 and code.isascii() and code.isalpha() else ""


def read_number(text, decimal, lower, upper):
    """A number between two bounds, as a Decimal of at most four places."""
    value = _plain(text, decimal)
    if not Decimal(lower) <= value <= Decimal(upper):
        words = {"typed": text[:40], "lower": lower, "upper": upper}
        raise ValueError(_("“%(typed)s” is not between %(lower)s and %(upper)s.") % words)
    return round(value, 4)


def read_amount(text, unit, decimal=None):
    """How many pieces, or how much in the unit a kind is counted in, as a Decimal.

    >>> read_amount("2 pcs", "each"), read_amount("150 cm", "m"), read_amount("1,5", "L", ",")
    (Decimal('2'), Decimal('1.500'), Decimal('1.500'))
    """
    found = re.fullmatch(r"([\d.,' ]*\d)\s*([^\d\s.,'].*)?", text)
    if not found:
        raise ValueError(_("“%(typed)s” is not a quantity; type a number, as in 2.") % {"typed": text[:40]})
    value, measure = _plain(found[1], decimal), found[2] or ""
    if measure and not _PIECES.fullmatch(measure):
        if unit == "each":
            words = {"typed": text[:40]}
            raise ValueError(_("“%(typed)s”: this part is counted in pieces; type a number, as in 2.") % words)
        value = Decimal(str(read_quantity(f"{value} {measure}", unit, name=str(_("quantity")))))
    if not 0 < value <= 99999 or (unit == "each" and value != int(value)):
        words = {"typed": text[:40]}
        raise ValueError(_("“%(typed)s” is not a quantity of this part; type a number, as in 2.") % words)
    return Decimal(int(value)) if unit == "each" else round(value, 3)


def with_unit(spec, text, unit, decimal=None):
    """A fact as it stands in a column: a bare number takes the column's unit, a comma is read as the list's are.

    >>> from parts.kinds import get_kind
    >>> thickness = get_kind("radiator").fact("thickness")
    >>> with_unit(thickness, "1 3/4", "in"), with_unit(thickness, "1,75", "in", ",")
    ('1 3/4 in', '1.75 in')
    """
    if spec.is_text or spec.unit == "yes":
        return text
    found = _MEASURE.fullmatch(text)
    if not found:
        return text
    try:
        number = plain_number(found[1], decimal) if decimal and re.search("[.,]", found[1]) else found[1]
    except ValueError:
        return text
    return f"{number} {(found[2] or ('' if spec.unit == 'count' else unit)).strip()}".strip()


def _plain(text, decimal):
    try:
        return Decimal(plain_number(text, decimal))
    except ArithmeticError:
        raise ValueError(_("Type an amount, as in 1234.50.")) from None
