"""Room inside the case: geometry and counting."""

from hypothesis import given
from hypothesis import strategies as st

from builds.checks.insides import check_length, check_memory

from .trade import build, cautions, missing, part, step, stops


def test_a_graphics_board_that_is_short_enough_passes():
    assert check_length(build(part("case", graphics_length=330.0), part("graphics", length=300.0))) == []


def test_a_longer_one_stops():
    found = check_length(build(part("case", graphics_length=280.0), part("graphics", length=300.0)))
    assert "is 300 mm long" in stops(found)[0]


def test_a_front_radiator_takes_from_its_room():
    lines = [part("case", graphics_length=330.0), part("graphics", length=300.0),
             part("radiator", thickness=30.0), part("fan", thickness=25.0)]  # fmt: skip
    front = build(*lines, steps=[step("radiator", place="front", fans="fan", fan_count=3)])
    assert "275 mm are left" in cautions(check_length(front))[0]
    assert check_length(build(*lines, steps=[step("radiator", place="top", fans="fan", fan_count=3)])) == []


def test_memory_of_another_type_or_too_many_modules_stops():
    board = part("board", memory_type="DDR5", memory_places=4.0)
    assert check_memory(build(board, part("memory", memory_type="DDR5", modules=2.0, quantity=2))) == []
    assert "takes DDR5" in stops(check_memory(build(board, part("memory", memory_type="DDR4", modules=2.0))))[0]
    assert (
        "6 memory modules for 4 places"
        in stops(check_memory(build(board, part("memory", memory_type="DDR5", modules=2.0, quantity=3))))[0]
    )


def test_what_is_not_known_is_asked_for():
    assert missing(check_length(build(part("case"), part("graphics")))) == {
        "the case": "graphics_length", "the graphics": "length",
    }  # fmt: skip
    assert missing(check_memory(build(part("board"), part("memory"))))["the memory"] == "memory_type, modules"


KIT = {"memory_type": "DDR5", "modules": 2.0}


def under(quantity=1.0, kits=1.0, board=None, **block):
    facts = {name: value for name, value in {**KIT, **block}.items() if value is not None}
    return build(part("board", memory_type="DDR5", memory_places=4.0), part("memory", quantity=kits, **KIT),
                 part("memory_block", quantity=quantity, **facts))  # fmt: skip


def test_a_memory_block_is_for_one_type_and_covers_so_many_modules():
    assert check_memory(under()) == []
    assert check_memory(under(quantity=2, kits=2)) == []
    assert "the memory_block is for DDR4; the memory is DDR5" in stops(check_memory(under(memory_type="DDR4")))[0]
    assert cautions(check_memory(under(kits=2))) == ["The memory blocks cover 2 modules of 4."]
    assert missing(check_memory(under(memory_type=None, modules=None))) == {"the memory_block": "memory_type, modules"}


@given(st.floats(100, 500), st.floats(100, 500), st.floats(0.5, 100))
def test_a_longer_board_never_fits_better(free, long, more):
    one, other = (check_length(build(part("case", graphics_length=free), part("graphics", length=mm)))
                  for mm in (long, long + more))  # fmt: skip
    assert len(stops(one)) <= len(stops(other))
    assert bool(stops(one)) == (long > free)


@given(st.integers(1, 8), st.integers(1, 8), st.integers(1, 8))
def test_more_modules_never_find_more_places(modules, places, more):
    board = part("board", memory_type="DDR5", memory_places=float(places))
    one, other = (check_memory(build(board, part("memory", memory_type="DDR5", modules=float(n))))
                  for n in (modules, modules + more))  # fmt: skip
    assert len(stops(one)) <= len(stops(other))
    assert bool(stops(one)) == (modules > places)
