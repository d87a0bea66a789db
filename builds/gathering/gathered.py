"""How a job's parts stand: needed, here, on the shelf, on order, missing."""

from collections import defaultdict
from dataclasses import dataclass, field
from decimal import Decimal

from django.db.models import F, Min

from builds.specs.models import SpecLine, SpecVersion
from builds.specs.sanity import open_stops
from parts.orders.expected import expected_by_tray
from parts.shelf.models import Stock

from .buying import Fill, Need, fill


@dataclass
class Row:
    """One role of the spec, with how far its need is met and the stops that keep it from being ordered."""

    line: SpecLine
    fill: Fill
    stops: list

    @property
    def is_met(self):
        return self.fill.here >= self.fill.need.quantity

    @property
    def to_buy(self):
        return Decimal(0) if self.fill.need.brought or self.stops else self.fill.missing


@dataclass
class Gathered:
    """A job's parts. spec: the agreed version, else the newest. surplus: [(part, quantity)] nobody in it needs."""

    spec: SpecVersion | None
    agreed: bool = False
    rows: list[Row] = field(default_factory=list)
    surplus: list = field(default_factory=list)

    @property
    def wanted(self):
        """{part id: quantity to buy}."""
        wanted = defaultdict(Decimal)
        for row in self.rows:
            if row.to_buy:
                wanted[row.line.part_id] += row.to_buy
        return dict(wanted)

    @property
    def held_up(self):
        """Rows that would be bought but for a stop."""
        return [row for row in self.rows if row.fill.missing and row.stops and not row.fill.need.brought]

    @property
    def parts(self):
        return {row.line.part_id: row.line.part for row in self.rows}

    def from_shelf(self, part_id):
        """How much of a part the free shelf has for this job."""
        return sum((row.fill.shelf for row in self.rows if row.line.part_id == part_id), Decimal(0))


def gather(job, checked=True):
    """The Gathered of a job, in a number of queries that does not grow. checked: run the checks for open stops."""
    agreed = SpecVersion.objects.agreed_for(job)
    spec = agreed or SpecVersion.objects.current_for(job)
    if spec is None:
        return Gathered(None)
    lines = list(_in_task_order(spec))
    needs = [Need(line.role_id, line.part_id, line.quantity, line.client_supplied) for line in lines]
    stock = _stock(job, {line.part_id for line in lines})
    stops = open_stops(spec) if checked else []
    rows = [
        Row(line, met, [stop for stop in stops if _concerns(stop, line)])
        for line, met in zip(lines, fill(needs, **stock), strict=True)
    ]
    return Gathered(spec, agreed is not None, rows, _surplus(job, needs))


def _in_task_order(spec):
    """The spec's lines, those first whose tasks come first: of a scarce part they get theirs first."""
    lines = spec.lines.select_related("role", "part__successor")
    lines = lines.annotate(first_task=Min("role__needed_by__task__position"))
    return lines.order_by(F("first_task").asc(nulls_last=True), "role__position", "pk")


def _stock(job, parts):
    held = Stock.objects.by_tray_and_part([job.tray_id])
    shelf = defaultdict(Decimal)
    for part, quantity in Stock.objects.free().filter(part__in=parts).values_list("part", "quantity"):
        shelf[part] += quantity
    coming = expected_by_tray([job.tray_id], drafted=True)
    return {
        "here": {part: quantity for (_tray, part, owner), quantity in held.items() if owner == Stock.OURS},
        "brought": {part: quantity for (_tray, part, owner), quantity in held.items() if owner == Stock.CLIENTS},
        "shelf": shelf,
        "coming": {part: [(one.quantity, one) for one in entries] for (_tray, part), entries in coming.items()},
    }


def _concerns(stop, line):
    """A stop that names neither role nor part concerns the whole spec."""
    named = stop.roles or stop.parts
    return not named or line.role.name in stop.roles or line.part.name in stop.parts


def _surplus(job, needs):
    """Stock rows of the tray that hold more than all roles need together, with the quantity that is over."""
    left = defaultdict(Decimal)
    for need in needs:
        left[need.part, Stock.CLIENTS if need.brought else Stock.OURS] += need.quantity
    over = []
    for stock in Stock.objects.lying().filter(tray=job.tray_id).select_related("part").order_by("part__name", "pk"):
        used = min(left[stock.part_id, stock.owner], stock.quantity)
        left[stock.part_id, stock.owner] -= used
        if stock.quantity > used:
            over.append((stock, stock.quantity - used))
    return over
