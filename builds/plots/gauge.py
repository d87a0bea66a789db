"""The stage gauge: fittings on a tube, filled as far as the job has come."""

from functools import lru_cache

from .svg import hexagon, picture, shape

WIDTH, HEIGHT = 200, 24
END = 10
_MIDDLE = HEIGHT / 2


@lru_cache(maxsize=256)  # a board of 200 jobs has a dozen different ones
def stage_gauge(index, count=7, label=""):
    """Draw `count` fittings on a tube; those before `index` are filled, `index` itself is seen end-on.

    index: the stage the job is in, 1 for the first; 0 when none is reached, count + 1 when all are done.
    label: what it says in words, as in "stage 4 of 7: gathering".
    """
    if not 0 <= index <= count + 1:
        raise ValueError(f"index: 0 to {count + 1}, not {index}")
    places = [END + i * (WIDTH - 2 * END) / max(count - 1, 1) for i in range(count)]
    filled_to = places[min(index, count) - 1] if index else places[0]
    tube = _tube("pipe", places[0], places[-1]) + _tube("run", places[0], filled_to)
    fittings = [_fitting(x, place - index) for place, x in enumerate(places, start=1)]
    return picture(WIDTH, HEIGHT, tube + "".join(fittings), kind="gauge", title=label, desc="")


def _tube(class_, start, end):
    return shape("line", class_=class_, x1=start, x2=end, y1=_MIDDLE, y2=_MIDDLE, stroke="currentColor", stroke_width=3)


def _fitting(x, ahead):
    """ahead: below 0 the stage is done, 0 it is the present one, above 0 it is still to come."""
    if ahead < 0:
        return hexagon(x, _MIDDLE, 6.5, class_="hex done", fill="currentColor")
    if ahead > 0:
        return hexagon(x, _MIDDLE, 6, class_="hex", fill="none", stroke="currentColor", stroke_width=1.5)
    outside = hexagon(x, _MIDDLE, 9, class_="hex here", fill="none", stroke="currentColor", stroke_width=2.5)
    return outside + shape("circle", class_="bore", cx=x, cy=_MIDDLE, r=3, fill="currentColor")
