import re
from itertools import pairwise

import pytest

from builds.plots.axes import Scale, nice_ticks
from builds.plots.chart import Axis, Band, Limit, Line, Moment, Points, chart, thinned
from tests.plots.reading import SVG, labels, meeting, outside, parsed

MARKS = (
    Band(((40, 18, 27), (70, 12, 19), (100, 9, 14)), "range, 10–90 %"),
    Line(((40, 22), (70, 15), (100, 11)), "coolant over room"),
    Line(((40, 14), (70, 25), (100, 34)), "sound at 1 m", second=True),
    Points(((62, 16.5),), "measured"),
    Limit(20, "chosen limit"),
    Moment(62, "set now"),
)
AXES = {"x": Axis("fan speed, %"), "y": Axis("coolant over room, K"), "second": Axis("sound, dB(A)")}


def numbers(svg, class_):
    path = next(e for e in parsed(svg).iter(f"{SVG}path") if e.get("class") == class_)
    return [float(n) for n in re.findall(r"-?[\d.]+", path.get("d"))]


@pytest.mark.parametrize("width", [340, 520, 760])
def test_words_and_ticks_never_meet(width):
    svg = chart("fan speed", MARKS, **AXES, width=width)
    assert not meeting(labels(svg))
    assert not outside(svg)


def test_points_stand_at_their_values():
    svg = chart("t", [Line(((0, 0), (5, 10), (10, 20)), "")], Axis(), Axis(), width=400, height=200)
    x0, y0, x1, y1, x2, y2 = numbers(svg, "line")
    ticks = {text: (left + right) / 2 for text, left, _top, right, _bottom in labels(svg) if text in {"0", "10"}}
    assert x1 == pytest.approx((x0 + x2) / 2)
    assert y1 == pytest.approx((y0 + y2) / 2)
    assert x2 == pytest.approx(ticks["10"], abs=12)
    assert y0 > y2


def test_range_goes_up_one_side_and_back_the_other():
    svg = chart("t", [Band(((0, 1, 3), (10, 2, 4)), "")], Axis(), Axis(low=0, high=4), width=400, height=200)
    xs, ys = numbers(svg, "band")[0::2], numbers(svg, "band")[1::2]
    assert xs[0] == xs[3] < xs[1] == xs[2]
    assert ys == sorted(ys[:2], reverse=True) + sorted(ys[2:])


def test_second_axis_has_its_own_scale_and_a_dashed_line():
    svg = chart("t", MARKS, **AXES)
    line = next(e for e in parsed(svg).iter(f"{SVG}path") if e.get("class") == "line second")
    assert line.get("stroke-dasharray")


def test_a_gap_in_the_readings_breaks_the_line():
    points = ((0, 1), (1, 2), (2, None), (3, float("nan")), (4, 2), (5, 1))
    svg = chart("t", [Line(points, "")], Axis(), Axis())
    path = next(e for e in parsed(svg).iter(f"{SVG}path") if e.get("class") == "line")
    assert path.get("d").count("M") == 2


def test_a_long_log_keeps_its_extremes():
    points = tuple((i, 100 if i == 777 else -50 if i == 4321 else i % 7) for i in range(20000))
    kept = thinned(points, 400)
    assert len(kept) <= 1600
    assert (777, 100) in kept
    assert (4321, -50) in kept
    assert list(kept) == sorted(kept)


@pytest.mark.parametrize("points", [(), ((1, None),), ((1, 5),), ((1, 5), (1, 5))])
def test_hardly_any_data_still_draws(points):
    svg = chart("t", [Line(points, "a line")], Axis("x"), Axis("y"))
    assert not meeting(labels(svg))


def test_ticks_are_written_as_the_caller_wants():
    svg = chart("t", [Line(((0, 0), (1, 1.5)), "")], Axis(), Axis(text=lambda v: f"{v:.1f}".replace(".", ",")))
    assert "0,5" in {text for text, *_box in labels(svg)}


def test_names_are_escaped():
    svg = chart("a & b", [Line(((0, 0), (1, 1)), "<sound>")], Axis("<x>"), Axis("&y"), desc="<d>")
    assert {"<sound>", "<x>", "&y"} <= {text for text, *_box in labels(svg)}


@pytest.mark.parametrize(("low", "high"), [(0, 1), (7, 28), (-3, 4), (0, 0.013), (1e6, 3.2e6), (5, 5.0001)])
def test_ticks_cover_the_data_evenly(low, high):
    ticks = nice_ticks(low, high)
    steps = {round((b - a) / (high - low), 6) for a, b in pairwise(ticks)}
    assert ticks[0] <= low
    assert ticks[-1] >= high
    assert len(steps) == 1
    assert 3 <= len(ticks) <= 9


def test_what_lies_outside_is_held_at_the_border():
    scale = Scale(0, 10, 100, 200)
    assert (scale(-5), scale(5), scale(15)) == (100, 150, 200)
