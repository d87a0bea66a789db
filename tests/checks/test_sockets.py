"""Processor, board and block share a socket. Common practice."""

from hypothesis import given
from hypothesis import strategies as st

from builds.checks.sockets import check

from .trade import build, missing, part, stops


def test_all_three_agree():
    lines = [part("processor", socket="T-1200"), part("board", socket="t 1200"),
             part("processor_block", sockets="T-1150, T-1200")]  # fmt: skip
    assert check(build(*lines)) == []


def test_a_board_with_another_socket_stops():
    found = check(build(part("processor", socket="T-1200"), part("board", socket="R-5")))
    assert stops(found) == ["the processor needs socket T-1200; the board has R-5."]


def test_a_block_without_a_mount_for_it_stops():
    found = check(build(part("processor", socket="T-1200"), part("processor_block", sockets="R-4, R-5")))
    assert "mounts on R-4, R-5, not on T-1200" in stops(found)[0]


def test_what_is_not_known_is_asked_for():
    lines = [part("processor"), part("board"), part("processor_block")]
    assert missing(check(build(*lines))) == {
        "the processor": "socket", "the board": "socket", "the processor_block": "sockets",
    }  # fmt: skip


def test_a_processor_alone_needs_nothing():
    assert check(build(part("processor"))) == []


def test_a_board_block_over_the_processor_must_mount_on_its_socket_too():
    processor = part("processor", socket="T-1200")
    over = part("board_block", cools_processor=1.0, sockets="R-4, T-1200")
    assert check(build(processor, over)) == []
    wrong = part("board_block", cools_processor=1.0, sockets="R-4, R-5")
    assert stops(check(build(processor, wrong))) == ["the board_block mounts on R-4, R-5, not on T-1200."]
    assert missing(check(build(processor, part("board_block", cools_processor=1.0)))) == {"the board_block": "sockets"}


def test_a_board_block_beside_the_processor_needs_no_socket():
    processor = part("processor", socket="T-1200")
    assert check(build(processor, part("board_block", cools_processor=0.0, sockets="R-4"))) == []
    assert check(build(processor, part("board_block"))) == [], "whether it does is asked by heat and flow"


SOCKETS = st.lists(st.sampled_from(["T-1150", "T-1200", "R-4", "R-5"]), min_size=1, unique=True)


@given(SOCKETS, SOCKETS, st.sampled_from(["T-1200", "R-5"]), st.sampled_from(["processor_block", "board_block"]))
def test_a_block_that_mounts_on_more_sockets_never_fits_less(listed, more, socket, kind):
    def found(sockets):
        return stops(check(build(part("processor", socket=socket),
                                 part(kind, sockets=", ".join(sockets), cools_processor=1.0))))  # fmt: skip

    assert len(found([*listed, *more])) <= len(found(listed))
    assert bool(found(listed)) == (socket not in listed)
