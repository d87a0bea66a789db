"""Where radiators and fans can sit: a case's places, and hole patterns."""

import re

from .facts import LineFacts

INSIDE = ("front", "top", "rear", "bottom", "side")
# Hole spacing of square fans by frame size, mm. De facto, no standard; 180 mm and above differ between makers.
HOLE_SPACING = {40: 32.0, 50: 40.0, 60: 50.0, 80: 71.5, 92: 82.5, 120: 105.0, 140: 124.5}
TOLERANCE_MM = 0.5


def spacing(size):
    """Hole spacing of a frame or section size (mm), or None where it must be measured.

    >>> spacing(120.0), spacing(140.2), spacing(180), spacing(125)
    (105.0, 124.5, None, None)
    """
    return next((holes for frame, holes in HOLE_SPACING.items() if abs(frame - size) <= TOLERANCE_MM), None)


def patterns(case: LineFacts, place):
    """{section size in mm: how many in a row} of a place in a case; None when that is not known.

    >>> from .facts import Known
    >>> patterns(LineFacts("case", "case", "C", facts={"top_places": Known("3×120, 2x140 mm")}), "top")
    {120: 3, 140: 2}
    """
    listed = case.many(f"{place}_places")
    if listed is None:
        return None
    found = {}
    for text in listed:
        said = re.match(r"(?:(\d+)\s*[x×*]\s*)?(\d{2,3})\b", text, re.IGNORECASE)
        if said:
            size = int(said[2])
            found[size] = max(found.get(size, 0), int(said[1] or 1))
    return found


def takes(pattern, sections, size):
    """Does a place with this pattern take a radiator of so many sections?

    >>> takes({120: 3}, 2, 120.0), takes({120: 3}, 2, 140.0)
    (True, False)
    """
    return any(abs(have - size) <= TOLERANCE_MM and count >= sections for have, count in pattern.items())


def said(pattern):
    """A pattern as people write it.

    >>> said({120: 3, 140: 2})
    '3×120, 2×140'
    """
    return ", ".join(f"{count}×{size}" for size, count in pattern.items()) or "–"
