"""The main board fits the case: outline and mounting holes."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .rule import Rule

RULE = Rule(
    "form factor", _l("board in the case"), _l("Mini-ITX addendum 1.1 table 1, microATX 1.2 table 3 and figure 2")
)
# Largest outline (mm) and mounting holes of each size; E-ATX is no standard, so it has none here.
OUTLINES = {"Mini-ITX": (170, 170), "microATX": (244, 244), "ATX": (305, 244)}
HOLES = {"Mini-ITX": frozenset("CFHJ"), "microATX": frozenset("BCFHJLMRS"), "ATX": frozenset("ACFGHJKLM")}


def check(build):
    return [
        finding for case in build.of_kind("case") for board in build.of_kind("board") for finding in _pair(case, board)
    ]


def _pair(case, board):
    unknown = [*RULE.unless_known(case, "board_sizes"), *RULE.unless_known(board, "size")]
    if unknown:
        return unknown
    size, listed = board.text("size"), case.many("board_sizes")
    said = {"board": board.part, "size": size, "case": case.part, "listed": ", ".join(listed)}
    numbers = {"size": size, "listed": said["listed"]}
    if size in listed:
        return [_no_one_size(board, case, said)] if size == "E-ATX" else []
    if not any(inside(size, one) for one in listed):
        return [
            RULE.stop(
                _("%(board)s is %(size)s; %(case)s takes %(listed)s.") % said,
                _("Choose another board or another case."), board, case, **numbers,
            )
        ]  # fmt: skip
    lost = min((HOLES[size] - HOLES[one] for one in listed if inside(size, one)), key=len)
    if not lost:
        return []
    return [
        RULE.caution(
            _("%(board)s (%(size)s) lies inside what %(case)s takes (%(listed)s), but holes %(holes)s have no place.")
            % {**said, "holes": ", ".join(sorted(lost))},
            _("Look for stand-off holes at these places in the tray, or drill them."),
            board, case, **numbers, holes="".join(sorted(lost)),
        )
    ]  # fmt: skip


def inside(size, other):
    """Does the outline of one size lie inside that of another?

    >>> inside("microATX", "ATX"), inside("ATX", "microATX"), inside("E-ATX", "ATX")
    (True, False, False)
    """
    if size not in OUTLINES or other not in OUTLINES:
        return False
    return all(mine <= theirs for mine, theirs in zip(OUTLINES[size], OUTLINES[other], strict=True))


def _no_one_size(board, case, said):
    return RULE.note(
        _("%(board)s is E-ATX, which is no one size.") % said,
        _("Measure the board's depth against the tray before cutting anything."), board, case, size="E-ATX",
    )  # fmt: skip
