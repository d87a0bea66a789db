"""Parts side by side, fact by fact. Pure, on parts with prefetched facts."""

from dataclasses import dataclass


@dataclass(frozen=True)
class CompareRow:
    """One fact of several parts.

    cells: [(part, text shown, where it comes from)], texts "" where not known. differs: whether the known values
    disagree. apart: whether the parts do not all say the same, one of them perhaps nothing.
    """

    label: str
    cells: tuple
    differs: bool
    apart: bool


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
            said = [(fact.shown, fact.get_origin_display()) if fact else ("", "") for fact in facts]
            cells = tuple((part, *words) for part, words in zip(parts, said, strict=True))
            rows.append(CompareRow(str(specs[name].label), cells, len(values) > 1, len(values) > 1 or not all(facts)))
    return rows
