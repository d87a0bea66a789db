"""Two stacks at a corner, and a stack over the memory: plain geometry."""

from hypothesis import given
from hypothesis import strategies as st

from builds.checks.corners import check, slack

from .trade import build, cautions, missing, part, step, stops

CASE = {"top_length": 470.0, "front_length": 440.0, "board_gap": 60.0, "board_offset": 40.0}
RADIATOR = {"length": 397.0, "thickness": 30.0}


def corner(case=CASE, radiator=RADIATOR, more=()):
    lines = [part("case", **case), part("radiator", role="one", **radiator), part("radiator", role="two", **radiator),
             part("fan", quantity=6, thickness=25.0), *more]  # fmt: skip
    steps = [step(role, place=place, fans="fan", fan_count=3) for role, place in (("one", "top"), ("two", "front"))]
    return build(*lines, steps=steps)


def test_a_case_long_enough_for_both_passes():
    assert check(corner()) == []


def test_stacks_that_meet_stop_and_near_ones_are_a_caution():
    assert "5 mm are missing either way" in stops(check(corner({**CASE, "top_length": 447.0})))[0]
    assert "come within 3 mm" in cautions(check(corner({**CASE, "top_length": 455.0})))[0]


def test_the_stack_over_the_memory():
    tight = {**CASE, "board_gap": 40.0}
    assert not stops(check(corner(tight, more=[part("memory", height=32.0)])))
    assert "hangs 15 mm beside the board" in stops(check(corner(tight, more=[part("memory", height=45.0)])))[0]
    assert missing(check(corner(tight, more=[part("memory")]))) == {"the memory": "height"}


def test_a_block_over_the_memory_stands_higher_than_the_modules():
    tight, low = {**CASE, "board_gap": 40.0}, part("memory", height=32.0)
    assert "the memory_block, 58 mm" in stops(check(corner(tight, more=[low, part("memory_block", height=58.0)])))[0]
    assert missing(check(corner(tight, more=[low, part("memory_block")]))) == {"the memory_block": "height"}


def test_what_is_not_known_is_asked_for():
    asked = {dict(f.numbers)["missing"] for f in check(corner(case={}, radiator={}))}
    assert asked == {"top_length", "front_length", "length, thickness", "board_gap, board_offset"}


@given(*[st.floats(10, 600)] * 6, st.floats(0.1, 100))
def test_a_deeper_stack_never_makes_room(a, b, c, d, e, f, more):
    assert slack((a, b, c + more), (d, e, f)) <= slack((a, b, c), (d, e, f))
    assert slack((a, b, c), (d, e, f)) == slack((d, e, f), (a, b, c))
