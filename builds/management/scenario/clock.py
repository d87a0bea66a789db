"""Acts of the demo happen on days of its own; this sets the clock for them."""

from contextlib import contextmanager
from datetime import UTC, date, datetime, time, timedelta
from unittest.mock import patch

from django.apps import apps
from django.utils import timezone

_real_now = timezone.now


def day(offset):
    """The date that many days from today; negative for the past."""
    return (_real_now() + timedelta(days=offset)).date()


def on(when, hour=10, minute=0):
    """Run the block as if it were that date (or offset in days from today) and time, UTC."""
    set_day = when if isinstance(when, date) else day(when)
    return at(datetime.combine(set_day, time(hour, minute), tzinfo=UTC))


@contextmanager
def at(moment):
    """Run the block as if it were that moment.

    Model defaults hold the real function itself, so they are pointed at the set clock for as long.
    """

    def set_clock():
        return moment

    stamped = [
        field
        for app in ("parts", "builds")
        for model in apps.get_app_config(app).get_models()
        for field in model._meta.fields
        if field.default is _real_now
    ]
    for field in stamped:
        field.default = set_clock
        field.__dict__.pop("_get_default", None)
    try:
        with patch.object(timezone, "now", set_clock):
            yield moment
    finally:
        for field in stamped:
            field.default = _real_now
            field.__dict__.pop("_get_default", None)
