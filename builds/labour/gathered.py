"""The rows readiness rests on, fetched for many jobs at once."""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import timedelta
from decimal import Decimal

from django.db.models import DecimalField, F, OuterRef, Subquery, Sum
from django.db.models.functions import Coalesce

from builds.jobs.models import Job
from builds.specs.models import SpecLine, SpecVersion
from parts.orders.models import Arrival, Share
from parts.shelf.models import Stock
from parts.suppliers.models import SupplierPrice

from .models import Precedes, Task
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


def rows_of(job_ids, now=None, specs=None):
    """Five queries: tasks with hours, what follows what, spec lines with who needs them, stock, orders.

    specs: ids of the spec versions to look at, by default the valid one of each job.
    """
    rows = Rows()
    for task in Task.objects.filter(job__in=job_ids).with_hours(now).select_related("work_kind"):
        rows.tasks[task.job_id].append(task)
    for before, after in Precedes.objects.filter(after__job__in=job_ids).values_list("before", "after"):
        rows.follows[after].append(before)
    _claims(rows, valid_specs(job_ids) if specs is None else specs)
    for tray, part, quantity in (
        Stock.objects.filter(tray__job__in=job_ids).order_by().values_list("tray", "part").annotate(Sum("quantity"))
    ):
        rows.stock[tray][part] = quantity
    for tray, part, due, quantity in outstanding(Share.objects.filter(tray__job__in=job_ids)):
        rows.coming[tray][part].append((due, quantity))
    return rows


def valid_specs(job_ids):
    """Ids of the spec version that counts for each job: the agreed one, before agreement the newest (subquery)."""
    versions = SpecVersion.objects.filter(job=OuterRef("pk")).order_by(F("agreed_at").desc(nulls_last=True), "-number")
    return Job.objects.filter(pk__in=job_ids).order_by().values(spec=Subquery(versions.values("pk")[:1]))


def lead_days():
    """Subquery: lead time in days of a spec line's part from whoever sells it cheapest by the piece."""
    offers = SupplierPrice.objects.filter(part=OuterRef("part"))
    days = Coalesce("lead_days", "supplier__lead_days")
    return Subquery(offers.order_by(F("price") / F("pack_size"), "pk").annotate(days=days).values("days")[:1])


def _claims(rows, specs):
    seen = set()
    for job, role, name, part, part_name, quantity, brought, days, task in (
        SpecLine.objects.filter(spec__in=specs)
        .annotate(days=lead_days())
        .order_by("role__position", "role")
        .values_list(
            "role__job", "role", "role__name", "part", "part__name", "quantity", "client_supplied", "days",
            "role__needed_by__task",
        )
    ):  # fmt: skip
        if role not in seen:
            seen.add(role)
            rows.claims[job].append(Claim(role, name, part, part_name, quantity, brought, days))
        if task is not None:
            rows.needs[task].append(role)


def outstanding(shares):
    """(tray id, part id, expected date, quantity) of what is ordered for trays and has not come in good order.

    The date is the line's promise, else the placing of the order plus the supplier's usual lead time.
    """
    came = (
        Arrival.objects.filter(line=OuterRef("line"), condition=Arrival.GOOD, moves__target__tray=OuterRef("tray"))
        .order_by()
        .values("line")
        .annotate(total=Sum("moves__quantity"))
        .values("total")
    )
    zero = Decimal(0)
    fetched = (
        shares.filter(line__order__placed_at__isnull=False, line__order__cancelled_at=None)
        .annotate(came=Coalesce(Subquery(came), zero, output_field=DecimalField(max_digits=10, decimal_places=3)))
        .values_list(
            "tray", "line__part", "line__promised", "line__order__placed_at", "line__order__supplier__lead_days",
            "quantity", "came",
        )
    )  # fmt: skip
    for tray, part, promised, placed, days, quantity, arrived in fetched:
        if quantity > arrived:
            yield tray, part, promised or (placed + timedelta(days=days)).date(), quantity - arrived
