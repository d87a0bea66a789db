"""Processor, main board and block share one socket."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .rule import Rule

RULE = Rule("socket", _l("socket"), _l("common practice"))


def _same(one, other):
    """The same socket, however blanks, hyphens and capitals are written.

    >>> _same("T-1200", "t 1200")
    True
    """
    return _bare(one) == _bare(other)


def _bare(text):
    return "".join(c for c in text.casefold() if c.isalnum())


def check(build):
    found = []
    for processor in build.of_kind("processor"):
        boards = build.of_kind("board")
        blocks = [b for b in build.of_kind("processor_block") if build.cooled_by(b) in (processor, None)]
        blocks += [b for b in build.of_kind("board_block") if b.yes("cools_processor")]
        if boards or blocks:
            found += RULE.unless_known(processor, "socket")
        for board in boards:
            found += _on_board(processor, board)
        for block in blocks:
            found += _under_block(processor, block)
    return found


def _on_board(processor, board):
    theirs, here = processor.text("socket"), board.text("socket")
    if not here:
        return [RULE.missing(board, "socket")]
    if not theirs or _same(theirs, here):
        return []
    return [
        RULE.stop(
            _("%(processor)s needs socket %(theirs)s; %(board)s has %(here)s.")
            % {"processor": processor.part, "theirs": theirs, "board": board.part, "here": here},
            _("Change the processor or the board."),
            processor, board, processor_socket=theirs, board_socket=here,
        )
    ]  # fmt: skip


def _under_block(processor, block):
    theirs, listed = processor.text("socket"), block.many("sockets")
    if listed is None:
        return [RULE.missing(block, "sockets")]
    if not theirs or any(_same(theirs, one) for one in listed):
        return []
    return [
        RULE.stop(
            _("%(block)s mounts on %(listed)s, not on %(socket)s.")
            % {"block": block.part, "listed": ", ".join(listed), "socket": theirs},
            _("Choose a block, or its mounting kit, for this socket."),
            block, processor, socket=theirs, listed=", ".join(listed),
        )
    ]  # fmt: skip
