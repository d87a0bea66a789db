"""What a kind of part declares: its typed facts, once, for forms, import, sheets and checks alike."""

import importlib
import pkgutil
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache


@dataclass(frozen=True)
class FactSpec:
    """One fact of a kind.

    name: column name with no unit. label: as a person says it. unit: a thermal.units unit ("" for plain text,
    "1" for a bare number, "count" for a whole number, "yes" for yes/no). lower, upper: bounds in `unit`,
    themselves allowed. choices: allowed texts, for text facts; empty = free text. many: a text fact holding
    several, with commas between; repeats: the same one counts each time, as two equal plugs do. pattern: a regular
    expression each text must match, and example: what to type.
    points: two units: a text fact holding the points of a curve, as in "0 18; 50 12" (`curve.py`).
    shown_in: another unit to show and write it in, as "%" for a share.
    needed_by: names of the checks that ask for it.
    """

    name: str
    label: str
    unit: str = ""
    lower: float | None = None
    upper: float | None = None
    choices: tuple[str, ...] = ()
    many: bool = False
    repeats: bool = False
    pattern: str = ""
    example: str = ""
    points: tuple[str, ...] = ()
    shown_in: str = ""
    help: str = ""
    needed_by: tuple[str, ...] = ()

    @property
    def is_text(self):
        return self.unit == ""


@dataclass(frozen=True)
class Kind:
    """A kind of part. key: stored name; label: shown; unit: how it is counted (each, m, L).

    words: other words a parts list may use for it, lower case, in any language.
    brief: names of the facts that tell parts of this kind apart, for one line of a list.
    measures: the facts that a measure without a name means in a search (“≤ 45 mm”), likeliest first; else the brief.
    sized: the two facts that “3 × 120” names, or the names of text facts that hold such entries.
    rules: functions that take {fact name: value} and give (fact name, sentence) for a contradiction, else None.
    """

    key: str
    label: str
    facts: tuple[FactSpec, ...] = ()
    unit: str = "each"
    words: tuple[str, ...] = ()
    brief: tuple[str, ...] = ()
    measures: tuple[str, ...] = ()
    sized: tuple[str, ...] = ()
    rules: tuple[Callable, ...] = ()

    def fact(self, name):
        """The declaration of one fact, or None when this kind has no such fact."""
        return next((spec for spec in self.facts if spec.name == name), None)

    def contradictions(self, values):
        """[(fact name, sentence)] for values {fact name: value} that cannot all be true together."""
        found = (rule(self, values) for rule in self.rules)
        return [fault for fault in found if fault]


@cache
def all_kinds():
    """Every kind by its key, sorted by label."""
    package = importlib.import_module(__package__)
    found = {}
    for module_info in pkgutil.iter_modules(package.__path__):
        module = importlib.import_module(f"{__package__}.{module_info.name}")
        found |= {value.key: value for value in vars(module).values() if isinstance(value, Kind)}
    return dict(sorted(found.items(), key=lambda pair: str(pair[1].label)))


def get_kind(key):
    """The kind with this key; KeyError when there is none."""
    return all_kinds()[key]


def kind_choices():
    """(key, label) of every kind, by label in the reader's language."""
    return sorted(((kind.key, kind.label) for kind in all_kinds().values()), key=lambda pair: str(pair[1]))
