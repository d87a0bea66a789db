"""Prices, quantities and bare numbers as they stand in a parts list. Pure; every fault is a ValueError that says so."""

import re
from decimal import Decimal
from math import ceil

from django.utils.translation import gettext as _

from parts.workshop.forms import plain_number
from thermal.units import read_quantity

_SIGNS = {"€": "EUR", "$": "USD", "£": "GBP", "¥": "JPY", "ZŁ": "PLN", "KČ": "CZK"}
_SPANS = {
    unit: {word: factor for factor, words in spans.items() for word in words.split()} | {"": 1}
    for unit, spans in {
        "days": {
            1: "d day days tag tage tagen jour jours día días dia dias giorno giorni dag dagen dagar dage",
            7: "w wk wks week weeks woche wochen semaine semaines semana semanas settimana settimane weken veckor",
        },
        "months": {
            1: "m mo month months monat monate monaten mois mes meses mese mesi maand maanden månad månader",
            12: "y yr yrs year years jahr jahre jahren an ans année années año años anno anni jaar jaren år",
        },
    }.items()
}  # {unit: {word: how many of the unit}}
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


def read_span(text, unit, most, decimal=None, heading=""):
    """A span of time as a whole number of days or months, rounded up.

    unit: "days" or "months", which a bare number is in unless the heading above it names another. most: the longest
    span taken, in that unit.

    >>> read_span("2 weeks", "days", 1000), read_span("5", "days", 1000), read_span("1,5 years", "months", 1200)
    (14, 5, 18)
    >>> read_span("2", "months", 1200, heading="Warranty (years)")
    24
    """
    found = re.fullmatch(r"([\d.,]+)\s*([^\d\s.,+-][^\d+-]*)?", text)
    above = [word for word in re.findall(r"[^\W\d]{3,}", heading.casefold()) if word in _SPANS[unit]]
    said = (found[2] or next(iter(above), "")) if found else ""
    factor = _SPANS[unit].get(said.casefold().strip(" .()")) if found else None
    if factor is None:
        words = {"typed": text[:40]}
        raise ValueError(
            _("“%(typed)s” is no number of days; type 5, or 2 weeks.") % words
            if unit == "days"
            else _("“%(typed)s” is no number of months; type 24, or 2 years.") % words
        )
    span = ceil(_plain(found[1], decimal or ("," if "," in found[1] else ".")) * factor)
    if span > most:
        raise ValueError(_("“%(typed)s” is too long: at most %(most)d %(unit)s.")
                         % {"typed": text[:40], "most": most, "unit": _(unit)})  # fmt: skip
    return span


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
