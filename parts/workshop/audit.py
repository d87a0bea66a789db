"""One call that every state change makes."""

from django.core.serializers.json import DjangoJSONEncoder
from django.utils.encoding import force_str

from .models import AuditEntry


def _plain(values):
    """Values as JSON can hold them; anything unusual as its text."""
    if values is None:
        return None
    encoder = DjangoJSONEncoder()

    def one(value):
        if value is None or isinstance(value, bool | int | float | str):
            return value
        try:
            return encoder.default(value)
        except TypeError:
            return force_str(value)

    return {key: one(value) for key, value in values.items()}


def record_many(person, verb, entries):
    """Write down many state changes of one act at once. entries: [(about, before, after)]."""
    known = person if getattr(person, "pk", None) else None
    rows = [
        AuditEntry(person=known, verb=verb, about=str(about)[:80], before=_plain(before), after=_plain(after))
        for about, before, after in entries
    ]
    AuditEntry.objects.bulk_create(rows, batch_size=500)


def record(person, verb, about, before=None, after=None):
    """Write down who (None: a client by link, or the machine) did what; before and after are flat dicts."""
    known = person if getattr(person, "pk", None) else None
    return AuditEntry.objects.create(
        person=known, verb=verb, about=str(about)[:80], before=_plain(before), after=_plain(after)
    )
