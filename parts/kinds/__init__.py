"""The kinds of part there are, each declared once in a module of its own."""

from .base import FactSpec, Kind, all_kinds, get_kind, kind_choices
from .naming import find_kind, nearest_kinds
from .reading import FactError, brief_of, check_value, read_fact, show_fact, write_fact

__all__ = [
    "FactError",
    "FactSpec",
    "Kind",
    "all_kinds",
    "brief_of",
    "check_value",
    "find_kind",
    "get_kind",
    "kind_choices",
    "nearest_kinds",
    "read_fact",
    "show_fact",
    "write_fact",
]
