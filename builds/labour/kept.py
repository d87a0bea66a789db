"""The forecast, kept: one row that holds what is said of every live job until something changes or the day ends."""

from datetime import timedelta

from django.db import models
from django.utils import timezone

from parts.workshop.models import AuditEntry

RECENT = 64
SHAPE = 2  # of what is kept; raise it when packing changes, so that nothing an older release kept is read


def plan_mark():
    """A text that changes with every recorded change; one query.

    Every change writes an audit entry in its own transaction, so the end of the trail is the mark: nothing can be
    forgotten, and no row is written that two transactions would wait for. The last few entries all count, since a
    transaction that ends late may bring a number lower than the last.
    """
    last = list(AuditEntry.objects.order_by("-pk").values_list("pk", flat=True)[:RECENT])
    return f"{SHAPE} {last[0]} {len(last)} {sum(last)}" if last else f"{SHAPE} -"


class KeptForecast(models.Model):
    """One row. made: the moment it was made, from which running clocks go on.

    rows: packing.packed by job, for the board. plans: Forecast.steps by job, for a job's plan alone.
    """

    mark = models.CharField(max_length=60)
    day = models.DateField()
    made = models.DateTimeField()
    rows = models.JSONField()
    plans = models.JSONField(default=dict)

    def __str__(self):
        return f"forecast of {self.day}"

    @classmethod
    def at(cls, mark, day):
        """The kept one if it still holds, else None; one query."""
        return cls.objects.filter(pk=1, mark=mark, day=day).defer("plans").first()

    @classmethod
    def keep(cls, **facts):
        row = cls(pk=1, **facts)
        cls.objects.bulk_create([row], update_conflicts=True, unique_fields=["id"], update_fields=list(facts))
        return row

    @property
    def age(self):
        return max(timezone.now() - self.made, timedelta(0))
