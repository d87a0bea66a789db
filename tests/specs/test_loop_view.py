"""What the loop page makes of an operating point."""

from builds.checks.loop_model import Basis
from builds.specs.loop_page import grouped
from builds.specs.loop_said import said


def test_values_are_grouped_from_the_least_sure_and_alike_ones_joined():
    basis = [
        Basis("front", "tube", "2 mm", "assumed", "calliper"),
        Basis("pump", "flow", "16 L/min", "measured"),
        Basis("top", "tube", "2 mm", "assumed", "calliper"),
        Basis("fans", "flow", "100 m³/h", "typical"),
        Basis("fans", "flow", "100 m³/h", "typical"),
    ]
    told = [(origin, [(one.role, one.value) for one in rows]) for origin, _word, rows in grouped(basis)]
    assert told == [
        ("assumed", [("front, top", "2 mm")]),
        ("typical", [("fans", "100 m³/h")]),
        ("measured", [("pump", "16 L/min")]),
    ]


def test_numbers_are_said_with_their_unit_and_never_as_minus_nothing():
    assert said(-0.01, 1, "K") == "0.0 K"
    assert said(1234.56, 1, "W").endswith("W")
    assert said(None) == "–"
