"""What became of a part's facts over time, read out of the audit trail. Pure, on its entries."""

from dataclasses import dataclass
from datetime import datetime

from parts.kinds import show_fact


@dataclass(frozen=True)
class FactChange:
    """One fact of one origin set, changed or forgotten. before, after: as shown, "" for not known."""

    at: datetime
    who: str
    label: str
    origin: str
    before: str
    after: str


def changes_of(entries, kind, origins, name=""):
    """[FactChange] in the entries' order. origins: {key: words}; name: of the one fact asked for."""
    found = []
    for entry in entries:
        before, after = entry.before or {}, entry.after or {}
        for fact, value in after.items():
            spec = kind.fact(fact)
            if spec and name in ("", fact):
                told = [show_fact(spec, one) if one is not None else "" for one in (before.get(fact), value)]
                origin = str(origins.get(after.get("origin"), after.get("origin")))
                found.append(FactChange(entry.at, str(entry.person or ""), str(spec.label), origin, *told))
    return found
