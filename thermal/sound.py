"""Sound levels: added, and moved to another speed.

Declared levels come from different rooms and distances, so differences are worth more than absolutes.
"""

import numpy as np

__all__ = ["add_levels", "level_at_speed", "level_of_count"]


def add_levels(levels):
    """The level [dB] of several sources together: 10·log10 Σ 10^(L/10). levels: a sequence of equal shapes.

    Source: energy sum of incoherent sources; OSHA Technical Manual, noise chapter, appendix.

    >>> round(float(add_levels([85.0, 83.0, 88.0])), 1)
    90.6
    """
    with np.errstate(divide="ignore"):
        return 10.0 * np.log10(sum(10.0 ** (np.asarray(level) / 10.0) for level in levels))


def level_of_count(level, count):
    """The level [dB] of `count` sources of one level: L + 10·log10 n.

    >>> round(float(level_of_count(24.0, 4)), 2)
    30.02
    """
    with np.errstate(divide="ignore"):
        return level + 10.0 * np.log10(count)


def level_at_speed(level, speed):
    """The level [dB] of a fan or pump at a part of its rated speed: L + 50·log10(N/N₀); stopped: −inf.

    A trend for one fan on one system, about ±3 dB. Source: fan sound law, as in ASHRAE Handbook, Fans.

    >>> round(float(level_of_count(level_at_speed(24.0, 0.75), 2)), 1)
    20.8
    """
    with np.errstate(divide="ignore"):
        return level + 50.0 * np.log10(speed)
