"""Numbers as people type them: comma or point, grouped thousands, fractions. Plain Python."""

import re

__all__ = ["Ambiguous", "NotANumber", "numeral", "split_number"]

_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3",
           "⅔": "2/3"}  # fmt: skip
_NUMBER = re.compile(
    r"(?P<sign>[+-]?) ?"
    r"(?:(?:(?P<whole>\d+)[ -])?(?P<over>\d+)/(?P<under>0*[1-9]\d*)"
    r"|(?P<plain>(?:\d{1,3}(?:[ ']\d{3})+(?!\d)(?:[.,]\d+)?|\d[\d.,]*|[.,]\d+)(?P<power>[eE][+-]?\d+)?))"
    r"(?P<rest>.*)$",
    re.DOTALL,
)


class NotANumber(ValueError):
    """The text does not start with a number that can be read."""


class Ambiguous(ValueError):
    """The comma may be a decimal mark or group thousands; `readings` holds both, as text."""

    def __init__(self, readings):
        super().__init__(" or ".join(readings))
        self.readings = readings


def split_number(text, decimal=None):
    """(number as float, the rest of the text, stripped). Raises NotANumber or Ambiguous.

    >>> split_number("1 3/4 in"), split_number("0,031 m3/s"), split_number("−12½")
    ((1.75, 'in'), (0.031, 'm3/s'), (-12.5, ''))
    """
    found = _match(text)
    rest = found["rest"].strip()
    if re.match(r"[-+\d]", rest) and not re.match("1/[A-Za-z]", rest):
        raise NotANumber(text)  # two numbers, or a span such as 3-4
    if found["over"]:
        size = int(found["whole"] or 0) + int(found["over"]) / int(found["under"])
        return (-size if found["sign"] == "-" else size), rest
    return float(_digits(found, decimal)), rest


def numeral(text, decimal=None):
    """A typed number as digits with a point, ready for float() or Decimal(), with nothing lost to rounding.

    decimal: the mark of the list it comes from ("." or ","), or None when either may be meant; then a comma
    before exactly three digits is refused as Ambiguous unless the number starts with 0.

    >>> numeral("1.234,50"), numeral("1,234.50"), numeral("1 200"), numeral("1,200", decimal=",")
    ('1234.50', '1234.50', '1200', '1.200')
    """
    found = _match(text)
    if found["rest"].strip() or found["over"]:
        raise NotANumber(text)
    return _digits(found, decimal)


def _match(text):
    tidy = text.strip()
    for mark, fraction in _VULGAR.items():
        tidy = tidy.replace(mark, f" {fraction}")
    tidy = tidy.replace("−", "-").replace("’", "'")
    tidy = re.sub(r"\s+", " ", tidy).strip()
    found = _NUMBER.match(tidy.replace("- ", "-", 1)) if len(tidy) <= 60 else None
    if not found:
        raise NotANumber(text)
    return found


def _digits(found, decimal):
    """The plain number of a match, with its decimal mark made a point and its groups joined."""
    power = found["power"] or ""
    plain = re.sub("[ ']", "", found["plain"][: len(found["plain"]) - len(power)])
    mark = decimal or _decimal_mark(plain)
    other = "." if mark == "," else ","
    if plain.count(mark) > 1 or other in plain.partition(mark)[2]:
        raise NotANumber(plain)
    groups = plain.partition(mark)[0].split(other)
    if len(groups) > 1 and not (0 < len(groups[0]) <= 3 and all(len(group) == 3 for group in groups[1:])):
        raise NotANumber(plain)
    return found["sign"].replace("+", "") + plain.replace(other, "").replace(mark, ".") + power


def _decimal_mark(plain):
    commas, points = plain.count(","), plain.count(".")
    if commas and points:
        return max(",.", key=plain.rfind)
    if commas + points > 1:
        return "." if commas else ","  # a mark that repeats groups thousands
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", plain):
        raise Ambiguous((plain.replace(",", ""), plain.replace(",", ".")))
    return "," if commas else "."
