from itertools import cycle, islice

import pytest

from builds.plots.loop_drawing import Station, loop_drawing
from builds.plots.loop_shapes import KINDS
from tests.plots.reading import boxes, labels, meeting, outside, parsed

STATIONS = [
    Station("pump-reservoir", "pump and reservoir", ("4.9 L/min · 4.4–5.4", "18 W into the coolant"), "33.1 °C"),
    Station("block", "processor", ("57 °C · 50–66",), "33.1 °C"),
    Station("block", "graphics, the one with the vertical bracket", ("52 °C · 46–60",), "33.6 °C"),
    Station("radiator", "top radiator", ("3 × 120, 30 mm", "231 W · air 132 m³/h"), "35.4 °C"),
    Station("radiator", "front radiator", ("2 × 120, 45 mm", "187 W · air 101 m³/h"), "34.2 °C"),
    Station("passive", "temperature probe", (), "34.2 °C"),
    Station("pump", "second pump", ("12 W of which nearly all ends in the coolant",), ""),
]
LEGEND = {**dict.fromkeys(KINDS, "what this sign means"), "flow": "the way the coolant goes"}


def loop_of(count):
    return list(islice(cycle(STATIONS), count))


@pytest.mark.parametrize("narrow", [False, True])
@pytest.mark.parametrize("count", range(1, 19))
def test_labels_meet_neither_each_other_nor_a_component(count, narrow):
    svg = loop_drawing(loop_of(count), "a loop", legend=LEGEND, narrow=narrow)
    assert not meeting(labels(svg) + boxes(svg, "body"))
    assert not outside(svg)


@pytest.mark.parametrize("narrow", [False, True])
def test_every_component_and_temperature_is_written_once(narrow):
    stations = loop_of(7)
    written = " ".join(text for text, *_box in labels(loop_drawing(stations, "a loop", narrow=narrow)))
    for station in stations:
        assert station.name.split()[0] in written
    assert written.count("°C") == 8  # six temperatures of the coolant, two of blocks


def test_coolant_passes_clockwise_from_the_left():
    svg = loop_drawing([Station("block", name) for name in "abcdef"], "a loop")
    at = {text: ((left + right) / 2, top) for text, left, top, right, _bottom in labels(svg)}
    assert at["a"][0] < at["b"][0] < at["c"][0] < at["d"][0] < at["e"][0]
    assert at["b"][1] == at["c"][1] == at["d"][1] < at["e"][1] < at["f"][1]


def test_words_beside_the_picture_give_the_whole_order():
    svg = parsed(loop_drawing(loop_of(4), "Loop of J-0038"))
    assert [element.text for element in svg][:2] == [
        "Loop of J-0038",
        "pump and reservoir (33.1 °C) → processor (33.1 °C) → graphics, the one with the vertical bracket (33.6 °C)"
        " → top radiator (35.4 °C) → pump and reservoir",
    ]
    assert svg.get("role") == "img"


def test_names_are_escaped():
    svg = loop_drawing([Station("block", "<b>&", ('"quoted" <i>',), "<1 °C")], "a < b")
    assert [text for text, *_box in labels(svg)] == ["<1 °C", "<b>&", '"quoted" <i>']
    assert "<b>" not in svg


def test_unknown_kind_is_drawn_as_a_passive_part():
    assert loop_drawing([Station("whistle", "w")], "t") == loop_drawing([Station("passive", "w")], "t")


def test_legend_explains_the_kinds_in_use_only():
    svg = loop_drawing(loop_of(2), "t", legend={"block": "a block", "radiator": "a radiator", "flow": "the way"})
    written = [text for text, *_box in labels(svg)]
    assert written[-2:] == ["a block", "the way"]


def test_a_loop_without_components_is_refused():
    with pytest.raises(ValueError, match="at least one"):
        loop_drawing([], "t")
