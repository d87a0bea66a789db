"""A curve as its points in one line of text, as it is typed, pasted from a table, and stored."""

import re
from itertools import pairwise

from django.utils.translation import gettext as _

from thermal.units import QuantityError, read_quantity

_NUMBER = r"[+-]?\d+(?:[.,]\d+)?"
_UNIT = r"[^\d\s,;+-][^\s,;]*"
_POINT = re.compile(rf"({_NUMBER})\s*({_UNIT})?\s*[\s,:@]\s*({_NUMBER})\s*({_UNIT})?")


class CurveError(ValueError):
    """A typed curve cannot be used; says which point and why."""


def read_curve(text, x_unit, y_unit):
    """((x, y), …) of typed points, x rising, in the two units; a point without units is in them already.

    Points stand between semicolons or in lines of their own; a value may have a decimal comma. The last point is the
    lowest and none lies above the first: a dip between them, as of a fan that stalls, is left as measured.

    >>> read_curve("0 CFM 18 Pa; 30 CFM 12 Pa; 60,5 CFM 0 Pa", "m3/h", "Pa")
    ((0.0, 18.0), (50.97, 12.0), (102.8, 0.0))
    >>> read_curve("0,18; 50,12; 104,0", "m3/h", "Pa")
    ((0.0, 18.0), (50.0, 12.0), (104.0, 0.0))
    """
    points = [_point(piece, x_unit, y_unit) for piece in re.split(r"[;\n]", text) if piece.strip()]
    if len(points) < 3:
        raise CurveError(_("a curve needs at least three points."))
    for before, after in pairwise(points):
        if after[0] <= before[0]:
            told = {"after": f"{after[0]:g}", "before": f"{before[0]:g}"}
            raise CurveError(_("%(after)s follows %(before)s; give the points in rising order.") % told)
    ys = [y for _x, y in points]
    if ys[0] <= 0 or max(ys) > ys[0] or ys[-1] != min(ys) or ys[-1] == ys[0]:
        raise CurveError(_("the curve must fall from its first point to its last."))
    return tuple(points)


def write_curve(points):
    """Points as they are stored, in the declared units.

    >>> write_curve(((0.0, 18.0), (50.97, 12.0), (104.0, 0.0)))
    '0 18; 50.97 12; 104 0'
    """
    return "; ".join(f"{x:.4g} {y:.4g}" for x, y in points)


def _point(piece, x_unit, y_unit):
    found = _POINT.fullmatch(piece.strip())
    if found is None:
        raise CurveError(_("“%(typed)s” is not a point.") % {"typed": piece.strip()[:40]})
    x, given_x, y, given_y = found.groups()
    return _value(x, given_x or x_unit, x_unit), _value(y, given_y or y_unit, y_unit)


def _value(number, given, unit):
    try:
        return float(f"{read_quantity(f'{number} {given}', unit, lower=0.0):.4g}")
    except QuantityError as error:
        raise CurveError(str(error)) from None
