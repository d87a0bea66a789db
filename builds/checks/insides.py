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
    return found + _modules(board, memory, modules) + _under_blocks(build, memory, modules)


def _under_blocks(build, memory, modules):
    """Memory blocks are made for one type of module and cover so many of them."""
    blocks, found = build.of_kind("memory_block"), []
    for block in blocks:
        found += MEMORY.unless_known(block, "memory_type", "modules")
        wrong = [kit for kit in memory if None not in (ours := block.text("memory_type"), kit.text("memory_type"))
                 and kit.text("memory_type") != ours]  # fmt: skip
        for kit in wrong:
            words = {"block": block.part, "ours": block.text("memory_type"), "kit": kit.part,
                     "theirs": kit.text("memory_type")}  # fmt: skip
            said = _("%(block)s is for %(ours)s; %(kit)s is %(theirs)s.") % words
            action = _("Choose a block for this type: heat spreaders differ in their shape.")
            found.append(MEMORY.stop(said, action, block, kit, block_type=words["ours"], kit_type=words["theirs"]))
    covered = [block.number("modules") for block in blocks]
    if blocks and None not in covered:
        have = sum(one * block.quantity for one, block in zip(covered, blocks, strict=True))
        found += _uncovered(blocks, memory, modules, have)
    return found


def _uncovered(blocks, memory, modules, have):
    if modules <= have:
        return []
    said = _("The memory blocks cover %(have)d modules of %(count)d.") % {"have": have, "count": modules}
    action = _("Add a block, or see that the others keep moving air.")
    return [MEMORY.caution(said, action, *blocks, *memory, modules=modules, covered=have)]


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
