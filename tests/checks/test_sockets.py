"""Processor, board and block share a socket. Common practice."""

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
