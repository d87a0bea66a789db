"""Metric and inch screw threads: their numbers from pitch and diameter."""

from dataclasses import dataclass
from math import pi


@dataclass(frozen=True)
class Thread:
    """A screw thread with 60° flanks: major diameter and pitch in mm, tap drill in mm.

    Source: ISO 261, 262 and 724 for M threads, ASME B1.1 for 6-32 UNC; tap drills as drill tables give them.
    """

    name: str
    major: float
    pitch: float
    tap_drill: float
    area_factor: float = 0.938194

    @property
    def pitch_diameter(self):
        """d2 = d − 0.649519 P.

        >>> round(THREADS["M4"].pitch_diameter, 3)
        3.545
        """
        return self.major - 0.649519 * self.pitch

    @property
    def minor(self):
        """Basic minor diameter of the nut thread, D1 = D − 1.082532 P.

        >>> round(THREADS["6-32"].minor, 3)
        2.646
        """
        return self.major - 1.082532 * self.pitch

    @property
    def stress_area(self):
        """As = π/4 (d − 0.938194 P)², mm² (ISO 898-1); inch threads take 0.9743 P (ASME B1.1).

        >>> round(THREADS["M3"].stress_area, 2)
        5.03
        """
        return pi / 4 * (self.major - self.area_factor * self.pitch) ** 2


THREADS = {
    "M3": Thread("M3", 3.0, 0.5, 2.5),
    "M4": Thread("M4", 4.0, 0.7, 3.3),
    "M5": Thread("M5", 5.0, 0.8, 4.2),
    "6-32": Thread("6-32", 0.138 * 25.4, 25.4 / 32, 2.705, 0.9743),
}


def thread_left(old, new):
    """Share of the new thread's height that stands outside the old thread's grooves (0 to 1).

    >>> round(thread_left(THREADS["6-32"], THREADS["M4"]), 2), thread_left(THREADS["M3"], THREADS["M4"])
    (0.65, 1.0)
    """
    return min(1.0, max(0.0, (new.major - old.major) / (new.major - new.minor)))


def drill_lead(drill):
    """Length of a 118° drill's point, mm: 0.3 of its diameter."""
    return 0.3 * drill


def tap_lead(thread):
    """Length of a bottoming tap's lead, mm: about two pitches (ISO 529 form C to E, from memory)."""
    return 2.0 * thread.pitch


# IT15 of ISO 286-1 up to a nominal length, mm (from memory); ISO 4759-1 lets a screw be half of it longer or shorter.
IT15 = ((3.0, 0.40), (6.0, 0.48), (10.0, 0.58), (18.0, 0.70), (30.0, 0.84), (50.0, 1.00), (80.0, 1.20), (120.0, 1.40))


def length_tolerance(length):
    """How much longer or shorter than its name a screw may be, mm (js15 of ISO 4759-1, product grade A).

    >>> length_tolerance(30.0), length_tolerance(31.0)
    (0.42, 0.5)
    """
    return next((width / 2 for upto, width in IT15 if length <= upto), IT15[-1][1] / 2)
