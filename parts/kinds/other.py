"""Anything the other kinds do not cover."""

from django.utils.translation import gettext_lazy as _

from .base import Kind

OTHER = Kind(
    key="other",
    label=_("other part"),
    words=("misc", "other", "miscellaneous", "sonstiges", "autre", "otro", "altro", "overig"),
)
