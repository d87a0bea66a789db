import pytest

from builds.plots.gauge import stage_gauge
from builds.plots.measure import measure
from tests.plots.reading import SVG, boxes, parsed


def fittings(svg):
    return [element.get("class") for element in parsed(svg).iter(f"{SVG}polygon")]


def test_stages_passed_are_filled_and_the_present_one_stands_out():
    svg = stage_gauge(4, 7, "stage 4 of 7: gathering")
    assert fittings(svg) == ["hex done"] * 3 + ["hex here"] + ["hex"] * 3
    assert parsed(svg).find(f"{SVG}title").text == "stage 4 of 7: gathering"


@pytest.mark.parametrize(("index", "filled"), [(0, 0), (1, 0), (7, 6), (8, 7)])
def test_ends_of_the_line(index, filled):
    assert fittings(stage_gauge(index)).count("hex done") == filled


def test_copper_reaches_the_present_stage():
    run = next(e for e in parsed(stage_gauge(4, 7)).iter(f"{SVG}line") if e.get("class") == "run")
    assert float(run.get("x2")) == 100  # the fourth of seven is the middle of 200 px


@pytest.mark.parametrize("index", [-1, 9])
def test_a_stage_that_is_not_there_is_refused(index):
    with pytest.raises(ValueError, match="0 to 8"):
        stage_gauge(index)


def test_measure_shows_the_share_used():
    svg = measure(12.5, 50, "12.5 of 50 h")
    assert boxes(svg, "used") == [("used", 0, 0, 25, 6)]
    assert "over" not in parsed(svg).get("class")


def test_measure_past_the_quote_is_marked_by_shape_too():
    svg = measure(30, 20, "30 of 20 h")
    assert parsed(svg).get("class") == "picture measure over"
    assert boxes(svg, "used") == [("used", 0, 0, 100, 6)]
    [(_class, left, _top, right, _bottom)] = boxes(svg, "notch")
    assert (left + right) / 2 == pytest.approx(100 * 20 / 30, abs=0.01)


@pytest.mark.parametrize(("used", "quoted"), [(0, 0), (0, None), (0, 5)])
def test_nothing_used_draws_no_length(used, quoted):
    assert boxes(measure(used, quoted), "used") == [("used", 0, 0, 0, 6)]


def test_hours_without_a_quote_are_over_it():
    assert "over" in parsed(measure(3, 0)).get("class")
