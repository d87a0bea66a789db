"""How a component declares its facts: each once, with its unit, its bounds and its meaning.

The dataclasses check themselves by this declaration and `document.py` reads by it.
"""

import dataclasses
import math

import numpy as np

from .faults import LoopFault
from .units import format_quantity

__all__ = ["check_facts", "fact"]


def fact(unit, low=None, high=None, *, above=None, default=dataclasses.MISSING, meaning="", check="", setting=False):
    """A dataclass field for a quantity.

    unit: SI (temperatures "degC"); "int" a whole number; "text" one of the texts in `low`.
    low, high: bounds, allowed themselves; above: a bound not allowed itself. A default is an assumption,
    unless it is a setting, which one chooses; a default of None means that the fact may be unknown.
    meaning: in words; check: how to measure it.
    """
    about = {"unit": unit, "low": low, "high": high, "above": above}
    about |= {"meaning": meaning, "check": check, "setting": setting}
    return dataclasses.field(default=default, metadata=about)


def check_facts(owner, prefix=""):
    """Raise LoopFault for the first fact of a dataclass that is not finite or is out of its bounds.

    A fact may be an array (fan speeds of a plot, samples of the range): every element must hold.
    """
    for field in dataclasses.fields(owner):
        about = field.metadata
        if not about:
            continue
        value = getattr(owner, field.name)
        what = None
        if value is None and field.default is not None:
            what = "is missing."
        elif value is not None:
            what = _wrong(value, about)
        if what:
            raise LoopFault(f"{prefix}{field.name}", what)


def _wrong(value, about):
    """What is wrong with a value, or None."""
    unit = about["unit"]
    if unit == "text":
        return None if value in about["low"] else f"“{value}” is not one of {', '.join(about['low'])}."
    try:
        finite = math.isfinite(value) if isinstance(value, float | int) else np.all(np.isfinite(value))
    except TypeError:
        finite = False
    if not finite:
        return f"{value!r} is not a number that can be used."
    if unit == "int":
        unit = "1"
        if value != int(value):
            return f"{value} is not a whole number."
    low, high, above = about["low"], about["high"], about["above"]
    if low is not None and np.any(np.less(value, low)):
        return f"{_shown(value, unit)} is too low; at least {format_quantity(low, unit, 6)}."
    if high is not None and np.any(np.greater(value, high)):
        return f"{_shown(value, unit)} is too high; at most {format_quantity(high, unit, 6)}."
    if above is not None and np.any(np.less_equal(value, above)):
        return f"{_shown(value, unit)} is too low; it must be above {format_quantity(above, unit, 6)}."
    return None


def _shown(value, unit):
    return format_quantity(float(value), unit) if np.ndim(value) == 0 else "one of the values"
