"""The kinds of part there are, each declared once in a module of its own."""

from .base import FactSpec, Kind, all_kinds, get_kind, kind_choices

__all__ = ["FactSpec", "Kind", "all_kinds", "get_kind", "kind_choices"]
