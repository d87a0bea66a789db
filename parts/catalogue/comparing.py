"""Parts side by side, fact by fact. Pure, on parts with prefetched facts."""

from dataclasses import dataclass


@dataclass(frozen=True)
class CompareRow:
    """One fact of several parts.

    cells: [(part, text shown, "" where not known)]. differs: whether the known values disagree.
    """

    label: str
    cells: tuple
    differs: bool


def side_by_side(parts):
    """[CompareRow] of every fact that one of the parts says, in the order that their kinds declare them."""
    specs = {spec.name: spec for part in reversed(parts) for spec in part.spec.facts}
    order = dict.fromkeys(spec.name for part in parts for spec in part.spec.facts)
    known = [part.known for part in parts]
    rows = []
    for name in order:
        facts = [facts.get(name) for facts in known]
        if any(facts):
            values = {fact.value for fact in facts if fact}
            cells = tuple((part, fact.shown if fact else "") for part, fact in zip(parts, facts, strict=True))
            rows.append(CompareRow(str(specs[name].label), cells, len(values) > 1))
    return rows
