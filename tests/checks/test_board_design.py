"""A full-cover block is cut for one printed board. Common practice."""

from hypothesis import given
from hypothesis import strategies as st

from builds.checks.board_design import check

from .trade import build, cautions, missing, part, step, stops


def pair(listed="P-17, P-18", design="P-17", **more):
    return build(part("graphics_block", board_designs=listed), part("graphics", board_design=design), **more)


def test_a_listed_design_fits():
    assert check(pair()) == []
    assert check(pair(design="p-18")) == []


def test_a_design_that_is_not_listed_stops():
    assert "has board design P-19; the graphics_block fits P-17, P-18" in stops(check(pair(design="P-19")))[0]


def test_the_models_name_is_no_design():
    block = part("graphics_block", board_designs="P-17")
    board = part("graphics", name="Board P-17", board_design="P-20")
    assert stops(check(build(block, board)))


def test_a_universal_block_cools_the_chip_alone():
    found = check(pair(listed="universal"))
    assert not stops(found)
    assert "chip" in cautions(found)[0]


def test_an_unknown_design_stops():
    found = check(build(part("graphics_block"), part("graphics", board_design="P-17")))
    assert missing(found) == {"the graphics_block": "board_designs"}
    assert stops(found)
    assert missing(check(build(part("graphics_block", board_designs="P-17"), part("graphics")))) == {
        "the graphics": "board_design"
    }


def test_two_boards_ask_which_and_a_step_answers():
    lines = [
        part("graphics_block", board_designs="P-17"),
        part("graphics", role="first", board_design="P-20"),
        part("graphics", role="second", board_design="P-17"),
    ]
    assert "which of the 2" in cautions(check(build(*lines)))[0]
    assert check(build(*lines, steps=[step("graphics_block", cools="second")])) == []
    assert stops(check(build(*lines, steps=[step("graphics_block", cools="first")])))


def test_a_block_without_a_board_says_so():
    assert "no graphics board" in cautions(check(build(part("graphics_block", board_designs="P-17"))))[0]


def test_a_board_block_is_cut_for_one_main_board_too():
    block = part("board_block", board_designs="A7-wide")
    assert check(build(block, part("board", board_design="a7-wide"))) == []
    wrong = check(build(block, part("board", board_design="A8")))
    assert stops(wrong) == ["the board has board design A8; the board_block fits A7-wide."]
    assert missing(check(build(block, part("board")))) == {"the board": "board_design"}
    assert "no main board in the spec" in cautions(check(build(block)))[0]


CODES = st.lists(st.sampled_from(["P-17", "P-18", "P-20", "universal"]), min_size=1, unique=True)


@given(CODES, CODES, st.sampled_from(["P-17", "p-18", "P-21"]))
def test_a_longer_list_never_fits_less(listed, more, design):
    one, other = (stops(check(pair(", ".join(codes), design))) for codes in (listed, [*listed, *more]))
    assert len(other) <= len(one)
    assert bool(one) == (design.upper() not in listed and "universal" not in listed)
