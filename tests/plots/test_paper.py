from base64 import b64decode
from datetime import date

import pytest

from builds.plots.bars import Bar, bars
from builds.plots.chart import Axis, Line, chart
from builds.plots.gauge import stage_gauge
from builds.plots.loop_drawing import Station, loop_drawing
from builds.plots.measure import measure
from builds.plots.paper import data_uri, for_paper
from builds.plots.ribbon import Happening, ribbon
from tests.plots.reading import SVG, labels, parsed

PICTURES = {
    "gauge": stage_gauge(4, 7, "stage 4 of 7"),
    "measure": measure(30, 20, "30 of 20 h"),
    "loop": loop_drawing([Station("block", "a & b", ("1 < 2",), "33 °C")], "loop", legend={"flow": "way"}),
    "chart": chart("chart", [Line(((0, 1), (1, 2)), "sound", second=True)], Axis("x"), Axis("y"), Axis("z")),
    "bars": bars("bars", [Bar("a", 3, "3 h", against=2)]),
    "ribbon": ribbon("ribbon", [Happening(date(2026, 12, 3), "pump", "late")], date(2026, 11, 25)),
}


@pytest.mark.parametrize("kind", PICTURES)
def test_on_screen_colours_are_left_to_the_stylesheet(kind):
    for element in parsed(PICTURES[kind]).iter():
        assert "style" not in element.attrib
        assert {element.get("fill"), element.get("stroke")} <= {None, "none", "white", "currentColor"}


@pytest.mark.parametrize("kind", PICTURES)
def test_on_paper_every_colour_is_written_out(kind):
    for element in parsed(for_paper(PICTURES[kind])).iter():
        assert not {"class", "style"} & set(element.attrib)
        assert "currentColor" not in element.attrib.values()


@pytest.mark.parametrize("kind", PICTURES)
def test_paper_keeps_words_and_shapes(kind):
    screen, paper = PICTURES[kind], for_paper(PICTURES[kind])
    assert labels(paper) == labels(screen)
    assert len(list(parsed(paper).iter())) == len(list(parsed(screen).iter()))


def test_copper_tube_on_paper():
    wall = next(parsed(for_paper(PICTURES["loop"])).iter(f"{SVG}rect"))
    assert wall.get("stroke") == "#9a4f26"


def test_an_image_source_holds_the_whole_picture():
    start, _comma, coded = data_uri(PICTURES["chart"]).partition(",")
    assert start == "data:image/svg+xml;base64"
    assert b64decode(coded).decode() == for_paper(PICTURES["chart"])


def test_a_picture_prints_itself_in_a_template():
    assert PICTURES["gauge"].__html__() == PICTURES["gauge"]
