"""A other part: its facts."""

from .base import Kind

OTHER = Kind(
    key="other",
    label="other part",
    words=("misc", "other"),
    facts=(),
)
