"""Parts of the catalogue for a role: which fit this build, and why the others do not."""

from dataclasses import dataclass, replace

from builds.checks.findings import CAUTION, STOP
from builds.checks.registry import QUICK, run
from builds.checks.rule import fact_label
from parts.catalogue.models import Part

from .gather import facts_of, line_facts

# Each candidate is tried in the build, so a search shows no more than this many.
MOST = 30


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
    """([Candidate], how many parts match in all): what fits first, at most MOST."""
    found = Part.objects.filter(kind=role.kind, withdrawn=False).matching(words)
    parts = list(found.with_facts().select_related("successor").order_by("name")[:MOST])
    build = facts_of(spec)
    line = next((line for line in spec.lines.all() if line.role_id == role.pk), None)
    others = replace(build, lines=tuple(one for one in build.lines if one.role != role.name))
    known = {finding.fingerprint for finding in run(others, QUICK)}
    tried = [_try(others, known, role, part, line) for part in parts]
    tried.sort(key=lambda one: (len(one.stops), len(one.unknown) + len(one.cautions), one.part.name))
    return tried, len(parts) if len(parts) < MOST else found.count()


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
