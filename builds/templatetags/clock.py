"""The running clock that every page shows: one query."""

from django import template

from builds.labour.durations import clock_text
from builds.labour.models import HoursEntry

register = template.Library()


@register.simple_tag
def clock_of(person):
    """The person's open hours entry, or None."""
    return HoursEntry.objects.running_of(person) if person.is_authenticated else None


@register.filter
def clock_time(length):
    """A length of time as hours and minutes: 1:42."""
    return clock_text(length)
