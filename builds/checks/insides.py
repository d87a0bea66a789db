"""Room inside the case: graphics board, memory."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .rule import Rule
from .stack import depth_of

LENGTH = Rule("graphics length", _l("graphics board in the case"), _l("geometry"))
MEMORY = Rule("memory", _l("memory on its board"), _l("common practice"))


def check_length(build):
    return [
        finding
        for case in build.of_kind("case")
        for graphics in build.of_kind("graphics")
        for finding in _length(build, case, graphics)
    ]


def _length(build, case, graphics):
    unknown = [*LENGTH.unless_known(case, "graphics_length"), *LENGTH.unless_known(graphics, "length")]
    if unknown:
        return unknown
    long, free = graphics.number("length"), case.number("graphics_length")
    front = _front_stack(build)
    words = {
        "graphics": graphics.part, "long": f"{long:g}", "case": case.part, "free": f"{free:g}",
        "front": f"{front:g}", "left": f"{free - front:g}",
    }  # fmt: skip
    numbers = {"long_mm": long, "free_mm": free, "front_mm": front}
    if long > free:
        said = _("%(graphics)s is %(long)s mm long; %(case)s has room for %(free)s mm.") % words
        return [LENGTH.stop(said, _("Choose another board or case."), graphics, case, **numbers)]
    if long > free - front:
        return [
            LENGTH.caution(
                _("%(graphics)s is %(long)s mm long; with the %(front)s mm front stack %(left)s mm are left.") % words,
                _("Measure it: whether the case's figure counts a front radiator differs between cases."),
                graphics, case, **numbers,
            )
        ]  # fmt: skip
    return []


def _front_stack(build):
    depths = [
        depth_of(build, step, line) or 0.0
        for _loop, step, line in build.steps()
        if line.kind == "radiator" and step.place == "front"
    ]
    return max(depths, default=0.0)


def check_memory(build):
    boards, memory = build.of_kind("board"), build.of_kind("memory")
    if len(boards) != 1 or not memory:
        return []
    board, found, modules = boards[0], [], 0.0
    for kit in memory:
        unknown = [*MEMORY.unless_known(kit, "memory_type", "modules"), *MEMORY.unless_known(board, "memory_type")]
        found += unknown
        modules += (kit.number("modules") or 0) * kit.quantity
        theirs, here = kit.text("memory_type"), board.text("memory_type")
        if theirs and here and theirs != here:
            said = _("%(kit)s is %(theirs)s; %(board)s takes %(here)s.") % {
                "kit": kit.part, "theirs": theirs, "board": board.part, "here": here,
            }  # fmt: skip
            found.append(MEMORY.stop(said, _("Change one of them."), kit, board, kit_type=theirs, board_type=here))
    return found + _modules(board, memory, modules)


def _modules(board, memory, modules):
    places = board.number("memory_places")
    if places is None:
        return [MEMORY.missing(board, "memory_places")]
    if modules <= places:
        return []
    said = _("%(count)d memory modules for %(places)d places on %(board)s.") % {
        "count": modules, "places": places, "board": board.part,
    }  # fmt: skip
    return [MEMORY.stop(said, _("Lower the count of kits."), *memory, board, modules=modules, places=places)]
