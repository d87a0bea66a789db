"""Screws into a radiator: how deep they go, what they hold by, and whether their thread is the hole's."""

from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .rule import Rule
from .screw_threads import THREADS, drill_lead, length_tolerance, tap_lead, thread_left

RULE = Rule(
    "screws", _l("screws into radiators"),
    _l("geometry; lengths vary as in ISO 4759-1; the margin of 1 mm is common practice"),
)  # fmt: skip
THREAD = Rule(
    "threads", _l("threads of screws and holes"), _l("ISO 261 and 262; ASME B1.1; re-tapping: common practice")
)
MARGIN_MM = 1.0
LEAST_THREADS = 3
LEAST_LEFT = 0.65
# A fan's frame, a panel, a wall may be this much thinner or thicker than said. Common practice.
PLAY_MM = {"fan": 0.5, "flange": 0.2, "panel": 0.1, "wall": 0.1, "extra": 0.1}
PASSES = {"fan": ("fan",), "flange": ("flange",), "panel": ("panel",), "fan and panel": ("fan", "panel")}


@dataclass(frozen=True)
class Reach:
    """How far a screw gets, mm. deepest: beyond the wall's inner face at worst; engaged: held by, counting the wall."""

    deepest: float
    engaged: float


def reach(length, passed, wall, extra=0.0):
    """The Reach of a screw. passed: {"fan": mm, "flange": mm, "panel": mm} of what it goes through first.

    >>> reach(30.0, {"fan": 25.0}, 1.5)
    Reach(deepest=4.52, engaged=4.08)
    """
    through = sum(passed.values()) + extra
    play = sum(PLAY_MM[name] for name in passed) + (PLAY_MM["extra"] if extra else 0.0)
    tolerance = length_tolerance(length)
    return Reach(
        round(length + tolerance - (through - play) - (wall - PLAY_MM["wall"]), 6),
        round(length - tolerance - (through + play), 6),
    )


def fanned(build):
    """Every (step, radiator, fans, screws) of radiators that carry fans; screws None where none are chosen."""
    for _loop, step, line in build.steps():
        fans = build.line(step.fans) if step.fans and step.fan_count else None
        if line.kind == "radiator" and fans:
            yield step, line, fans, build.line(step.screws) if step.screws else None


def check(build):
    found = []
    for step, radiator, fans, screws in fanned(build):
        found += RULE.unless_known(radiator, "screw_depth", "screw_wall")
        if screws is None or not step.screw_through:
            found.append(_not_said(radiator))
        else:
            found += _depth(build, step, radiator, fans, screws)
    return found


def _not_said(radiator):
    return RULE.note(
        _("It is not said which screws hold the fans on %(radiator)s.") % {"radiator": radiator.part},
        _("Choose them at its step in the loop: a screw too long pierces a channel."), radiator,
    )  # fmt: skip


def _depth(build, step, radiator, fans, screws):
    sources = {"fan": (fans, "thickness"), "flange": (fans, "flange"), "panel": (_case(build), "panel_thickness")}
    passes = {name: sources[name] for name in PASSES[step.screw_through] if sources[name][0]}
    unknown = RULE.unless_known(screws, "screw_length")
    unknown += [f for line, fact in passes.values() for f in RULE.unless_known(line, fact)]
    if unknown or None in (radiator.number("screw_depth"), radiator.number("screw_wall")):
        return unknown
    passed = {name: line.number(fact) for name, (line, fact) in passes.items()}
    extra = step.screw_extra_mm + step.gasket_mm
    got = reach(screws.number("screw_length"), passed, radiator.number("screw_wall"), extra)
    return [*_too_deep(radiator, screws, got), *_too_short(step, radiator, screws, got)]


def _case(build):
    return next(iter(build.of_kind("case")), None)


def _too_deep(radiator, screws, got):
    most = radiator.number("screw_depth") - MARGIN_MM
    if got.deepest <= most:
        return []
    words = {"screws": screws.part, "radiator": radiator.part, "deep": f"{got.deepest:.1f}", "most": f"{most:.1f}"}
    said = _("%(screws)s reach up to %(deep)s mm beyond the inner wall of %(radiator)s; %(most)s mm are safe.") % words
    numbers = {"deepest_mm": round(got.deepest, 2), "safe_mm": round(most, 2)}
    if radiator.yes("screw_plate"):
        action = _("A plate lies under the holes, so nothing is pierced; take shorter screws or washers all the same.")
        return [RULE.caution(said, action, screws, radiator, **numbers)]
    action = _("Take shorter screws or washers: a pierced channel is a dead radiator.")
    return [RULE.stop(said, action, screws, radiator, **numbers)]


def _too_short(step, radiator, screws, got):
    thread = THREADS.get(hole_thread(step, radiator) or screws.text("screw_thread"))
    if got.engaged <= 0:
        said = _("%(screws)s may not reach %(radiator)s at all.") % {"screws": screws.part, "radiator": radiator.part}
        return [RULE.stop(said, _("Take longer screws."), screws, radiator, engaged_mm=round(got.engaged, 2))]
    turns = got.engaged / thread.pitch if thread else None
    if turns is None or turns >= LEAST_THREADS:
        return []
    said = _("%(screws)s hold in %(radiator)s by %(turns)s threads at worst; at least %(least)d are wanted.") % {
        "screws": screws.part, "radiator": radiator.part, "turns": f"{turns:.1f}", "least": LEAST_THREADS,
    }  # fmt: skip
    return [RULE.caution(said, _("Take longer screws, within the clear depth."), screws, radiator,
                         threads=round(turns, 2))]  # fmt: skip


def hole_thread(step, radiator):
    """Thread of a radiator's fan holes as they will be: re-tapped ones are M4."""
    return "M4" if step.retapped else radiator.text("fan_thread")


def check_threads(build):
    found = []
    for step, radiator, _fans, screws in fanned(build):
        found += THREAD.unless_known(radiator, "fan_thread")
        if screws:
            found += THREAD.unless_known(screws, "screw_thread") + _same(step, radiator, screws)
        if step.retapped:
            found += _retap(radiator)
    return found


def _same(step, radiator, screws):
    theirs, ours = hole_thread(step, radiator), screws.text("screw_thread")
    if None in (theirs, ours) or theirs == ours:
        return []
    words = {"screws": screws.part, "ours": ours, "radiator": radiator.part, "theirs": theirs}
    said = _("%(screws)s are %(ours)s; the fan holes of %(radiator)s are %(theirs)s.") % words
    action = _("Take %(theirs)s screws; one that is forced in strips the hole.") % words
    return [THREAD.stop(said, action, screws, radiator, screw=ours, hole=theirs)]


def _retap(radiator):
    """Re-tapping to M4: enough thread must be left, and drill and tap must fit into the clear depth."""
    old, new, clear = THREADS.get(radiator.text("fan_thread")), THREADS["M4"], radiator.number("screw_depth")
    if old is None:
        return []
    left = thread_left(old, new)
    if old.major >= new.major or round(left, 2) < LEAST_LEFT:
        said = _("Holes of %(old)s in %(radiator)s cannot be re-tapped to M4.") % {
            "old": old.name, "radiator": radiator.part,
        }  # fmt: skip
        return [THREAD.stop(said, _("Use screws of the hole's own thread."), radiator, old=old.name)]
    if clear is None:
        return [THREAD.missing(radiator, "screw_depth")]
    needs = max(drill_lead(new.tap_drill), tap_lead(new))
    words = {"radiator": radiator.part, "old": old.name, "drill": f"{new.tap_drill:g}", "needs": f"{needs:.1f}",
             "most": f"{clear - MARGIN_MM:.1f}", "left": round(100 * left)}  # fmt: skip
    numbers = {"needs_mm": round(needs, 2), "safe_mm": round(clear - MARGIN_MM, 2), "left": round(left, 2)}
    if needs > clear - MARGIN_MM:
        said = _("Drill and tap must go %(needs)s mm beyond the wall of %(radiator)s; %(most)s mm are safe.") % words
        return [THREAD.stop(said, _("Do not re-tap it: use screws of the hole's own thread."), radiator, **numbers)]
    said = _("%(radiator)s is re-tapped from %(old)s to M4: drill %(drill)s mm, %(left)d %% of the thread is left.")
    action = _("Drill press with a depth stop, bottoming tap, no further than %(most)s mm beyond the wall.")
    return [THREAD.caution(said % words, action % words, radiator, **numbers)]
