import pytest

from builds.plots.bars import Bar, bars
from tests.plots.reading import SVG, boxes, labels, meeting, outside, parsed

ROWS = [
    Bar("top radiator", 231, "231 W · 195–260", low=195, high=260),
    Bar("front radiator, the thick one behind the dust filter of the case's door", 187, "187 W"),
    Bar("hours", 50, "50 of 46 h", against=46),
]


@pytest.mark.parametrize("width", [320, 520])
def test_words_meet_neither_each_other_nor_a_bar(width):
    svg = bars("heat", ROWS, width=width, keys={"bar": "logged", "against": "quoted", "range": "10–90 %"})
    assert not meeting(labels(svg) + boxes(svg, "bar"))
    assert not outside(svg)


def test_lengths_are_in_proportion():
    svg = bars("heat", [Bar("a", 100, "100 W"), Bar("b", 25, "25 W")])
    long, short = (right - left for _class, left, _top, right, _bottom in boxes(svg, "bar"))
    assert short == pytest.approx(long / 4, abs=0.01)


def test_more_than_quoted_is_said_by_a_notch():
    svg = bars("hours", ROWS)
    over = [e for e in parsed(svg).iter() if e.get("class") == "bar over"]
    assert len(over) == 1
    assert any(e.get("class") == "notch" for e in parsed(svg).iter(f"{SVG}path"))


def test_description_gives_every_value():
    assert "top radiator: 231 W · 195–260; " in parsed(bars("heat", ROWS)).find(f"{SVG}desc").text


@pytest.mark.parametrize("rows", [[], [Bar("nothing", 0, "0 W")]])
def test_nothing_to_show_still_draws(rows):
    assert parsed(bars("heat", rows)).get("role") == "img"
