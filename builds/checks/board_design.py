"""A block fits only boards whose design code stands on its list: graphics boards and main boards."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .facts import COOLED_BY
from .findings import STOP
from .rule import Rule, kind_label

RULE = Rule("board design", _l("block on its board"), _l("common practice"))
UNIVERSAL = "universal"
SHAPED = ("graphics_block", "board_block")


def check(build):
    """Compare design codes, never names: a sister model may share an older board's design."""
    return [finding for block in build.of_kind(*SHAPED) for finding in _one(build, block)]


def _one(build, block):
    board = build.cooled_by(block)
    if board is None:
        return [_whose(build, block)]
    unknown = [
        *RULE.unless_known(block, "board_designs", severity=STOP),
        *RULE.unless_known(board, "board_design", severity=STOP),
    ]
    if unknown:
        return unknown
    listed, design = block.many("board_designs"), board.text("board_design")
    said = {"block": block.part, "board": board.part, "design": design, "listed": ", ".join(listed)}
    codes = {code.casefold() for code in listed}
    if design.casefold() in codes:
        return []
    if UNIVERSAL in codes:
        return [
            RULE.caution(
                _("%(block)s cools the chip of %(board)s alone.") % said,
                _("See that memory and voltage regulators of the board keep heat sinks and moving air."),
                block, board, design=design,
            )
        ]  # fmt: skip
    return [
        RULE.stop(
            _("%(board)s has board design %(design)s; %(block)s fits %(listed)s.") % said,
            _("Choose a block listed for that design, or check the code printed on the board."),
            block, board, design=design, listed=said["listed"],
        )
    ]  # fmt: skip


def _whose(build, block):
    boards = build.of_kind(COOLED_BY[block.kind])
    words = {"block": block.part, "count": len(boards), "kind": kind_label(COOLED_BY[block.kind])}
    if boards:
        said = _("%(block)s: which of the %(count)d parts of kind “%(kind)s” does it cool?") % words
        return RULE.caution(said, _("Say so at its step in the loop."), block, boards=len(boards))
    said = _("%(block)s has no %(kind)s in the spec to sit on.") % words
    return RULE.caution(said, _("Add it, also when the client supplies it."), block)
