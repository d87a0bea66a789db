"""The rows readiness rests on, fetched for many jobs at once."""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import timedelta
from decimal import Decimal
from functools import lru_cache

from django.db.models import F, OuterRef, Subquery, Sum
from django.utils import timezone

from builds.jobs.models import Job
from builds.specs.models import SpecLine, SpecVersion
from parts.orders.expected import still_to_come
from parts.orders.models import Arrival, OrderLine
from parts.shelf.models import Stock
from parts.suppliers.models import LEAD_DAYS, SupplierPrice

from .models import AsFloat, Precedes, Task
from .waiting import Claim


@dataclass
class Rows:
    """By job: tasks, claims. By task: follows, needs.

    By tray: stock {part: quantity}, coming {part: [(due, quantity)]}.
    """

    tasks: dict = field(default_factory=lambda: defaultdict(list))
    follows: dict = field(default_factory=lambda: defaultdict(list))
    needs: dict = field(default_factory=lambda: defaultdict(list))
    claims: dict = field(default_factory=lambda: defaultdict(list))
    stock: dict = field(default_factory=lambda: defaultdict(dict))
    coming: dict = field(default_factory=lambda: defaultdict(lambda: defaultdict(list)))


def rows_of(jobs, now=None, specs=None):
    """Six queries: tasks, their hours, what follows what, spec lines with who needs them, stock, orders.

    specs: ids of the spec versions to look at, by default the valid one of each job.
    """
    rows, job_ids, trays = Rows(), [job.pk for job in jobs], [job.tray_id for job in jobs]
    for task in Task.objects.filter(job__in=job_ids).steps(now):
        rows.tasks[task.job_id].append(task)
    for before, after in Precedes.objects.filter(after__job__in=job_ids).values_list("before", "after"):
        rows.follows[after].append(before)
    _claims(rows, valid_specs(job_ids) if specs is None else specs)
    for tray, part, quantity in (
        Stock.objects.filter(tray__in=trays).order_by().values_list("tray", "part").annotate(Sum("quantity"))
    ):
        rows.stock[tray][part] = quantity
    for tray, part, quantity, promised, _order in still_to_come(trays):
        rows.coming[tray][part].append((promised, quantity))
    return rows


def valid_specs(job_ids):
    """Ids of the spec version that counts for each job: the agreed one, before agreement the newest (subquery)."""
    versions = SpecVersion.objects.filter(job=OuterRef("pk")).order_by(F("agreed_at").desc(nulls_last=True), "-number")
    return Job.objects.filter(pk__in=job_ids).order_by().values(spec=Subquery(versions.values("pk")[:1]))


def lead_days():
    """Subquery: lead time in days of a spec line's part from whoever sells it cheapest by the piece."""
    offers = SupplierPrice.objects.filter(part=OuterRef("part"))
    return Subquery(offers.order_by(F("price") / F("pack_size"), "pk").values(asked=LEAD_DAYS)[:1])


REMEMBERED, DELIVERIES = timedelta(days=730), 2000


def suppliers_of_parts():
    """{part id: id of the supplier it was last ordered from}, of the last two years; one query."""
    lines = OrderLine.objects.filter(order__placed_at__gte=timezone.now() - REMEMBERED, order__cancelled_at=None)
    return dict(lines.order_by("pk").values_list("part", "order__supplier"))


def late_by_supplier():
    """{supplier id: days late of each of its deliveries}, the last of all of them; early ones below zero; one query."""
    came = Arrival.objects.standing().filter(condition=Arrival.GOOD, line__promised__isnull=False)
    found = defaultdict(list)
    for supplier, promised, at in came.order_by("-pk").values_list("line__order__supplier", "line__promised", "at")[
        :DELIVERIES
    ]:
        found[supplier].append((timezone.localdate(at) - promised).days)
    return dict(found)


def _claims(rows, specs):
    seen = set()
    asked = (
        SpecLine.objects.filter(spec__in=specs)
        .annotate(days=lead_days())
        .order_by("role__position", "role")
        .values_list(
            "role__job", "role__needed_by__task", "role", "role__name", "part", "part__name", AsFloat("quantity"),
            "client_supplied", "days",
        )
    )  # fmt: skip
    for job, task, role, name, part, called, quantity, *rest in asked:
        if role not in seen:
            seen.add(role)
            rows.claims[job].append(Claim(role, name, part, called, _exact(quantity), *rest))
        if task is not None:
            rows.needs[task].append(role)


@lru_cache(maxsize=512)  # thousands of lines, and nearly all say 1, 2 or 3
def _exact(quantity):
    return Decimal(f"{quantity:.3f}")
