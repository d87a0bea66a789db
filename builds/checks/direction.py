"""Which way coolant goes through marked ports, threads no longer than their port, and air that stays in a radiator."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .facts import BLOCKS, PUMPS
from .rule import Rule
from .tube import PORTED

RULE = Rule("flow direction", _l("flow direction and ports"), _l("the maker's marks; common practice"))


def check(build):
    return [*_marked(build), *_threads(build), *_trapped(build)]


def _marked(build):
    found = []
    for loop in build.loops:
        placed = {step.role for step in loop.steps}
        ends = {(run.start, "leaves"): run.from_port for run in loop.runs}
        ends |= {(run.end, "enters"): run.to_port for run in loop.runs}
        for line in build.of_kind(*BLOCKS, *PUMPS):
            if line.role in placed:
                found += _ports(line, ends)
    return found


def _ports(line, ends):
    found = RULE.unless_known(line, "inlet_marked")
    if not line.yes("inlet_marked"):
        return found
    leaves, enters = ends.get((line.role, "leaves"), ""), ends.get((line.role, "enters"), "")
    if leaves == "in" or enters == "out":
        found.append(
            RULE.stop(
                _("Coolant goes through %(part)s against its marks.") % {"part": line.part},
                _("Swap its two tubes: a block cools badly backwards, a pump barely moves."), line,
                enters=enters, leaves=leaves,
            )
        )  # fmt: skip
    elif not leaves or not enters:
        found.append(
            RULE.note(
                _("%(part)s has a marked inlet; its runs do not say which port they use.") % {"part": line.part},
                _("Choose the ports at the runs of tube."), line,
            )
        )  # fmt: skip
    return found


def _threads(build):
    """A male thread longer than its port is deep bottoms out before its O-ring closes."""
    fittings, parts = build.of_kind("fitting"), build.of_kind(*PORTED)
    if not fittings or not parts:
        return []
    found = [f for line in fittings for f in RULE.unless_known(line, "thread_length")]
    found += [f for line in parts for f in RULE.unless_known(line, "port_depth")]
    for fitting in fittings:
        long = fitting.number("thread_length")
        shallow = [
            one for one in parts if None not in (long, one.number("port_depth")) and one.number("port_depth") < long
        ]
        found += [_bottoms(fitting, long, one) for one in shallow]
    return found


def _bottoms(fitting, long, part):
    deep = part.number("port_depth")
    said = _("The thread of %(fitting)s is %(long)s mm long; a port of %(part)s is %(deep)s mm deep.") % {
        "fitting": fitting.part, "long": f"{long:g}", "part": part.part, "deep": f"{deep:g}",
    }  # fmt: skip
    action = _("Take fittings with a shorter thread: the O-ring does not close, or a block's floor is pressed through.")
    return RULE.stop(said, action, fitting, part, long_mm=long, deep_mm=deep)


def _trapped(build):
    return [
        RULE.caution(
            _("%(radiator)s has its ports at the bottom: air stays in it when the loop is filled.")
            % {"radiator": line.part},
            _("Turn it ports up, or tip the machine while filling and bleed it there."), line, ports=step.ports_at,
        )
        for _loop, step, line in build.steps()
        if line.kind == "radiator" and step.ports_at == "down"
    ]  # fmt: skip
