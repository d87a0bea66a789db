"""The spec page's rows: each role with its part, what it costs and what the checks say of it."""

from dataclasses import dataclass
from decimal import Decimal

from builds.checks.cable_take_off import cable_items
from builds.checks.findings import NOTE, Finding
from builds.checks.registry import rule_label, run
from builds.checks.rule import fact_label
from builds.checks.take_off import take_off

from .costs import costs_of
from .gather import facts_of
from .models import Role, SpecVersion
from .sanity import covered


@dataclass(frozen=True)
class Wanted:
    """Facts of a part that checks wait for. facts, rules: in words."""

    part_id: int
    part: str
    facts: tuple[str, ...]
    rules: tuple[str, ...]


def wanted_of(lines, findings):
    """The Wanted of each line's part, from the findings that only ask for facts."""
    found = {}
    for line in lines:
        asking = [finding for finding in findings if finding.asks and line.role.name in finding.roles]
        if asking and line.part_id not in found:
            facts = dict.fromkeys(fact_label(line.part.kind, name) for finding in asking for name in finding.wants)
            rules = dict.fromkeys(str(rule_label(finding.rule)) for finding in asking)
            found[line.part_id] = Wanted(line.part_id, line.part.name, tuple(facts), tuple(rules))
    return list(found.values())


@dataclass(frozen=True)
class Row:
    """One role. findings: stops and cautions beside it; wanted: facts of its part that checks wait for."""

    role: Role
    line: object | None = None
    findings: tuple[Finding, ...] = ()
    wanted: Wanted | None = None
    unit_cost: Decimal | None = None
    cost: Decimal | None = None


def rows_of(lines, waiting, findings, costs):
    """([Row] of lines, then of roles that wait for a part; the findings that belong to no row)."""
    roles = {line.role.name for line in lines}
    beside, apart = {}, []
    for finding in findings:
        if finding.severity == NOTE:
            continue
        home = next((role for role in finding.roles if role in roles), None)
        beside.setdefault(home, []).append(finding) if home else apart.append(finding)
    rows = []
    for line in sorted(lines, key=lambda line: (line.role.position, line.role.pk)):
        here = beside.get(line.role.name, ())
        rows.append(
            Row(
                role=line.role,
                line=line,
                findings=tuple(finding for finding in here if not finding.asks),
                wanted=next(iter(wanted_of([line], here)), None),
                unit_cost=None if line.client_supplied else costs.unit.get(line.part_id),
                cost=costs.of(line),
            )
        )
    rows += [Row(role=role) for role in waiting]
    return sorted(rows, key=lambda row: (row.role.position, row.role.pk)), apart


def sheet_of(job, workshop, spec=None):
    """What the spec page shows of a version (the newest by default), in a constant number of queries."""
    spec = spec or SpecVersion.objects.current_for(job)
    waiting = list(Role.objects.waiting(job))
    versions = list(SpecVersion.objects.filter(job=job).order_by("-number"))
    if spec is None:
        return {"spec": None, "rows": [Row(role=role) for role in waiting], "versions": versions}
    spec.job = job
    build = facts_of(spec, workshop)
    lines = list(spec.lines.all())
    findings = covered(spec.job_id, run(build))
    costs = costs_of(lines, workshop.currency)
    is_newest = spec.pk == versions[0].pk
    rows, apart = rows_of(lines, waiting if is_newest else [], findings, costs)
    return {
        "spec": spec,
        "rows": rows,
        "apart": apart,
        "costs": costs,
        "versions": versions,
        "is_newest": is_newest,
        "stops": sum(finding.holds_up for finding in findings),
        "take_off": [*take_off(build)[0], *cable_items(build)] if is_newest else [],
        "agreed": max((v for v in versions if v.agreed_at), key=lambda v: v.agreed_at, default=None),
    }
