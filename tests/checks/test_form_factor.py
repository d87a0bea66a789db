"""Board sizes: Mini-ITX addendum 1.1 table 1 (170 mm square), microATX 1.2 table 3 (244 mm square; ATX 305 × 244)
and figure 2 (which holes)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.checks.form_factor import HOLES, OUTLINES, check, inside

from .trade import build, cautions, missing, notes, part, stops


def pair(size, listed):
    return build(part("board", size=size), part("case", board_sizes=listed))


def test_outlines_are_the_published_ones():
    assert OUTLINES == {"Mini-ITX": (170, 170), "microATX": (244, 244), "ATX": (305, 244)}
    assert "".join(sorted(HOLES["microATX"])) == "BCFHJLMRS"
    assert "".join(sorted(HOLES["ATX"])) == "ACFGHJKLM"


@pytest.mark.parametrize("size", ["Mini-ITX", "microATX", "ATX"])
def test_a_listed_size_fits(size):
    assert check(pair(size, "Mini-ITX, microATX, ATX")) == []


def test_a_larger_board_stops():
    assert stops(check(pair("ATX", "Mini-ITX, microATX"))) == ["the board is ATX; the case takes Mini-ITX, microATX."]
    assert stops(check(pair("E-ATX", "ATX")))


def test_the_smallest_board_uses_holes_every_case_has():
    assert check(pair("Mini-ITX", "ATX")) == []


def test_a_middle_board_may_lack_stand_offs():
    assert "B, R, S" in cautions(check(pair("microATX", "ATX")))[0]


def test_extended_boards_are_no_one_size():
    assert "no one size" in notes(check(pair("E-ATX", "ATX, E-ATX")))[0]


def test_what_is_not_known_is_asked_for():
    found = check(build(part("board"), part("case")))
    assert missing(found) == {"the board": "size", "the case": "board_sizes"}


@pytest.mark.parametrize("one", OUTLINES)
@pytest.mark.parametrize("other", OUTLINES)
def test_each_lies_inside_itself_and_only_one_way(one, other):
    assert inside(one, other) == (list(OUTLINES).index(one) <= list(OUTLINES).index(other))


LISTED = st.lists(st.sampled_from([*OUTLINES, "E-ATX"]), min_size=1, unique=True)


@given(st.sampled_from([*OUTLINES, "E-ATX"]), LISTED, LISTED)
def test_a_case_that_takes_more_sizes_never_takes_less(size, listed, more):
    one, other = (check(pair(size, ", ".join(sizes))) for sizes in (listed, [*listed, *more]))
    assert len(stops(other)) <= len(stops(one))
    assert bool(stops(one)) == (size not in listed and not any(inside(size, other) for other in listed))
