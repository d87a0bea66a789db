"""What a quote says of the temperatures to expect, where the spec's operating point is known."""

from django.utils.translation import gettext as _


def heat_sentences(spec):
    """One sentence for each loop of a spec version that can be solved; a loop that cannot says nothing."""
    points = _points(spec)
    return [_sentence(point, alone=len(points) == 1) for point in points]


def heat_data(spec):
    """The same as data: every solved loop with its answer, its range and the prior they rest on."""
    return [point.as_document() for point in _points(spec)]


def _points(spec):
    from builds.checks.heat import operating_points
    from builds.specs.gather import facts_of

    return [point for point in operating_points(facts_of(spec)) if point.result is not None]


def _sentence(point, alone):
    low, high = point.spread.low_high("coolant.mean")
    said = _(
        "Heat: in a %(room).0f °C room the coolant is expected at %(mean).0f °C (%(low).0f to %(high).0f °C in eight "
        "machines of ten), %(warmest).0f °C at its warmest, reckoned from declared and typical figures; the soak test "
        "measures it before hand-over."
    ) % {
        "room": float(point.result.room),
        "mean": float(point.result.mean),
        "low": low,
        "high": high,
        "warmest": float(point.result.warmest),
    }
    return said if alone else f"{point.name}: {said}"
