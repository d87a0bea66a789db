"""Bracketed root finding on arrays."""

import numpy as np

__all__ = ["falling_root"]

_STEPS = 60


def falling_root(function, low, high, near=None, tolerance=1e-9):
    """The root of a function that is ≥ 0 at `low` and ≤ 0 at `high`, element by element.

    Ridders' method (Ridders 1979, IEEE Trans. Circuits Syst. 26, 979): keeps a bracket that at least halves
    with every step and converges quadratically. low, high: arrays or floats that broadcast with what the
    function returns. near: where the root is likely within 1 %, or None. tolerance: the estimate's last move
    as a part of itself; the error is then about its square.

    >>> float(round(falling_root(lambda x: 2.0 - x * x, 0.0, 2.0), 12))
    1.414213562373
    """
    at_low, at_high = function(low), function(high)
    if near is not None:
        for point in (0.99 * near, 1.01 * near):
            low, at_low, high, at_high = _narrow(low, at_low, high, at_high, point, function(point))
    root = high
    with np.errstate(divide="ignore", invalid="ignore"):
        for _ in range(_STEPS):
            middle = 0.5 * (low + high)
            at_middle = function(middle)
            slope = np.sqrt(at_middle * at_middle - at_low * at_high)
            guess = middle + (middle - low) * np.where(slope > 0.0, at_middle / slope, 0.0)
            at_guess = function(guess)
            low, at_low, high, at_high = _narrow(low, at_low, high, at_high, middle, at_middle)
            low, at_low, high, at_high = _narrow(low, at_low, high, at_high, guess, at_guess)
            moved, root = np.abs(guess - root), guess
            if np.all(moved <= tolerance * np.abs(guess)):
                break
    return root


def _narrow(low, at_low, high, at_high, point, at_point):
    """The bracket (low, high) cut at `point` where that lies inside it."""
    rises = at_point > 0.0
    lift, drop = rises & (point > low), ~rises & (point < high)
    return (
        np.where(lift, point, low),
        np.where(lift, at_point, at_low),
        np.where(drop, point, high),
        np.where(drop, at_point, at_high),
    )
