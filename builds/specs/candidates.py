"""Parts of the catalogue for a role: which fit this build, and why the others do not."""

from dataclasses import dataclass, replace

from builds.checks.findings import CAUTION, STOP
from builds.checks.registry import QUICK, run
from builds.checks.rule import fact_label
from parts.catalogue.models import Part
from parts.catalogue.query import Condition, Query, read_query
from parts.kinds import get_kind

from .gather import facts_of, line_facts

# Each candidate is tried in the build, so a search shows no more than this many.
MOST = 30
COUNTED = 1000  # beyond, how many match is not counted out

# What a part must agree with to fit at all: (its fact, how, kind in the build, that part's fact). It only chooses
# which are tried first; whether one fits, the checks say.
PORTS = ("port_thread", "holds", "fitting", "thread")
AGREES = {
    "board": (("socket", "holds", "processor", "socket"), ("memory_type", "holds", "memory", "memory_type")),
    "board_block": (("board_designs", "holds", "board", "board_design"),),
    "fan": (("size", "exact", "radiator", "section_size"),),
    "fitting": (
        ("tube_outside", "exact", "tube", "outside"), ("tube_bore", "exact", "tube", "bore"),
        ("thread", "holds", "radiator", "port_thread"),
    ),
    "graphics": (
        ("length", "lte", "case", "graphics_length"), ("board_design", "holds", "graphics_block", "board_designs"),
    ),
    "graphics_block": (("board_designs", "holds", "graphics", "board_design"), PORTS),
    "memory": (("memory_type", "holds", "board", "memory_type"),),
    "memory_block": (("memory_type", "holds", "memory", "memory_type"),),
    "processor": (("socket", "holds", "board", "socket"),),
    "processor_block": (("sockets", "holds", "processor", "socket"), PORTS),
    "pump": (PORTS,),
    "pump_reservoir": (PORTS,),
    "radiator": (("section_size", "exact", "fan", "size"), PORTS),
    "reservoir": (PORTS,),
    "tube": (("outside", "exact", "fitting", "tube_outside"), ("bore", "exact", "fitting", "tube_bore")),
}  # fmt: skip


@dataclass(frozen=True)
class Candidate:
    """A part with what the checks would say if it took the role."""

    part: Part
    stops: tuple = ()
    cautions: tuple = ()
    unknown: tuple[str, ...] = ()
    chosen: bool = False
    cost: object | None = None

    @property
    def fits(self):
        return not self.stops


def candidates(spec, role, words=""):
    """([Candidate], how many parts match in all, COUNTED at most): what fits first, at most MOST.

    words: what is typed, as for the list of parts: “3 × 120, ≤ 45 mm, in stock”. The catalogue is narrowed by kind
    and by what must agree with the build before anything is tried.
    """
    build = facts_of(spec)
    line = next((line for line in spec.lines.all() if line.role_id == role.pk), None)
    others = replace(build, lines=tuple(one for one in build.lines if one.role != role.name))
    found = Part.objects.offered().answering(read_query(words, role.kind))
    parts = Part.objects.count_free(_first(found, Query(role.kind, conditions=must_agree(others, role))))
    known = {finding.fingerprint for finding in run(others, QUICK)}
    tried = [_try(others, known, role, part, line) for part in parts]
    tried.sort(key=lambda one: (len(one.stops), len(one.unknown) + len(one.cautions), one.part.name))
    return tried, len(parts) if len(parts) < MOST else found.order_by()[:COUNTED].count()


def must_agree(build, role):
    """[Condition] on a part for a role: what the parts around it say, where they say one thing."""
    found = []
    for name, op, kind, theirs in AGREES.get(role.kind, ()):
        values = {line.facts[theirs].value for line in build.of_kind(kind) if theirs in line.facts}
        one = len(values) == 1 and not (op == "holds" and ", " in next(iter(values)))  # of several texts, any may hold
        if one:
            found.append(Condition.on(get_kind(role.kind).fact(name), op, values.pop()))
    if role.kind == "radiator" and (free := _free_depth(build, role)):
        found.append(Condition.on(get_kind("radiator").fact("thickness"), "lte", free))
    return found


def _free_depth(build, role):
    """What a radiator may measure at its place, mm; None while place, case or fans do not say."""
    step = next((step for loop in build.loops for step in loop.steps if step.role == role.name), None)
    cases = build.of_kind("case")
    depth = cases[0].number(f"{step.place}_depth") if step and step.place and len(cases) == 1 else None
    fans = build.line(step.fans) if step and step.fans else None
    taken = fans.number("thickness") if fans else 0.0
    return None if depth is None or taken is None else depth - taken * step.layers


def _first(found, likely):
    """At most MOST parts, with their facts: those that agree with the build before the others."""
    order = found.with_facts().select_related("successor").order_by("name")
    parts = list(order.answering(likely)[:MOST])
    return parts + list(order.exclude(pk__in=[part.pk for part in parts])[: MOST - len(parts)])


def _try(others, known, role, part, line):
    """The findings that are new once the part takes the role."""
    build = replace(others, lines=(*others.lines, line_facts(role, part, line)))
    fresh = [finding for finding in run(build, QUICK) if finding.fingerprint not in known]
    here = [finding for finding in fresh if role.name in finding.roles]
    unknown = dict.fromkeys(fact_label(role.kind, name) for finding in here for name in finding.wants)
    return Candidate(
        part=part,
        stops=tuple(f for f in fresh if f.severity == STOP),
        cautions=tuple(f for f in here if f.severity == CAUTION and not f.wants),
        unknown=tuple(unknown),
        chosen=bool(line and line.part_id == part.pk),
    )
