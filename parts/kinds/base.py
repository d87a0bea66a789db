"""What a kind of part declares: its typed facts, once, for forms, import, sheets and checks alike."""

import importlib
import pkgutil
from dataclasses import dataclass, field
from functools import cache


@dataclass(frozen=True)
class FactSpec:
    """One fact of a kind.

    name: column name with no unit. label: as a person says it. unit: a thermal.units unit ("" for plain text,
    "1" for a bare number, "count" for a whole number, "yes" for yes/no). lower, upper: bounds in `unit`.
    choices: allowed texts, for text facts; empty = free text. many: a text fact holding several, with commas between.
    needed_by: names of the checks that ask for it.
    """

    name: str
    label: str
    unit: str = ""
    lower: float | None = None
    upper: float | None = None
    choices: tuple[str, ...] = ()
    many: bool = False
    help: str = ""
    needed_by: tuple[str, ...] = ()

    @property
    def is_text(self):
        return self.unit == ""


@dataclass(frozen=True)
class Kind:
    """A kind of part. key: stored name; label: shown; unit: how it is counted (each, m, L)."""

    key: str
    label: str
    facts: tuple[FactSpec, ...] = ()
    unit: str = "each"
    words: tuple[str, ...] = field(default=())  # other words a parts list may use for it

    def fact(self, name):
        return next((spec for spec in self.facts if spec.name == name), None)


@cache
def all_kinds():
    """Every kind by its key, sorted by label."""
    package = importlib.import_module(__package__)
    found = []
    for module_info in pkgutil.iter_modules(package.__path__):
        if module_info.name == "base":
            continue
        module = importlib.import_module(f"{__package__}.{module_info.name}")
        found += [value for value in vars(module).values() if isinstance(value, Kind)]
    return {kind.key: kind for kind in sorted(found, key=lambda kind: kind.label)}


def get_kind(key):
    """The kind with this key; KeyError when there is none."""
    return all_kinds()[key]


def kind_choices():
    return [(kind.key, kind.label) for kind in all_kinds().values()]
