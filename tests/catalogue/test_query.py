"""What a builder types into the search, understood; no database."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.catalogue.query import read_query
from parts.kinds import all_kinds


def understood(text, kind=""):
    found = read_query(text, kind)
    return found.kind, [str(one) for one in found.conditions], found.words, found.in_stock


@pytest.mark.parametrize(
    ("typed", "kind", "conditions", "words", "in_stock"),
    [
        ("radiator, 3 × 120, ≤ 45 mm, in stock", "radiator",
         ["fan sections = 3", "section size = 120 mm", "thickness ≤ 45 mm"], [], True),
        ("radiators 3x120 <=45mm in stock", "radiator",
         ["fan sections = 3", "section size = 120 mm", "thickness ≤ 45 mm"], [], True),
        ("slim radiator, under 1 3/4 in", "radiator", ["thickness < 44.45 mm"], ["slim"], False),
        ("radiator, fins per inch ≥ 14, M4, copper", "radiator",
         ["fins per inch ≥ 14 FPI", "thread of the fan holes M4", "wetted metals copper"], [], False),
        ("fan, 120 × 25, ≥ 61 CFM, ≤ 24 dB(A)", "fan",
         ["frame size = 120 mm", "thickness = 25 mm", "free air flow ≥ 103.6 m³/h",
          "sound level at rated speed ≤ 24 dB(A)"], [], False),
        ("thickness ≤ 45,5 mm", "", ["thickness ≤ 45.5 mm"], [], False),
        ("Lüfter; over 1500 rpm", "fan", ["rated speed > 1500 rpm"], [], False),
        ("case, 3x120, graphics board ≥ 300 mm", "case",
         ["places 3×120", "longest graphics board ≥ 300 mm"], [], False),
        ("memory, DDR5, height up to 35 mm", "memory", ["memory type DDR5", "height ≤ 35 mm"], [], False),
        ("coolant, share of glycol ≤ 30 %", "coolant", ["share of glycol by mass ≤ 30 %"], [], False),
        ("radiator, thickness 30 mm", "radiator", ["thickness = 30 mm"], [], False),
        ("Tidewater 3 x 120", "", [], ["tidewater", "3×120"], False),
        ("RADIATOR 30", "", [], ["radiator", "30"], False),
        ("", "", [], [], False),
    ],
)  # fmt: skip
def test_one_typed_line_finds_kind_facts_and_stock(typed, kind, conditions, words, in_stock):
    assert understood(typed) == (kind, conditions, words, in_stock)


def test_a_kind_chosen_beside_needs_no_naming():
    assert understood("2×140, ≥ 30 mm", "radiator")[1] == [
        "fan sections = 2",
        "section size = 140 mm",
        "thickness ≥ 30 mm",
    ]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("≤ 45 mm", "of what?"),
        ("radiator, thickness ≤ 45 W", "is a power, not a length"),
        ("radiator, ≤", "Type for example"),
        ("radiator, fan sections ≥ many", "many"),
    ],
)
def test_what_is_not_understood_is_said(typed, said):
    [problem] = read_query(typed).problems
    assert said in problem


@given(st.text(max_size=130), st.sampled_from(["", *all_kinds()]))
def test_nothing_typed_breaks_it(text, kind):
    found = read_query(text, kind)
    assert all(isinstance(word, str) and word for word in found.words)
    assert list(map(str, found.conditions)) is not None


@given(st.integers(1, 9), st.sampled_from([80, 92, 120, 140]), st.integers(15, 120))
def test_spacing_and_signs_do_not_matter(sections, size, deep):
    one = understood(f"radiator, {sections} × {size}, ≤ {deep} mm")
    assert one == understood(f"radiator {sections}x{size} <={deep}mm")
