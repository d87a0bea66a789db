"""Quoted against bought and worked: what a job's parts and hours were sold for, and what they cost so far."""

from dataclasses import dataclass, field
from decimal import Decimal

from django.db.models import Sum

from builds.labour.hours import HoursEntry, in_hours
from builds.labour.patterns import WorkKind
from parts.orders.worth import Coming, Landed, coming_for, landed_for
from parts.workshop.money import rounded

from .bills import Payment
from .earning import Earned
from .models import Issue, IssueLine

NOTHING = Decimal(0)


@dataclass(frozen=True)
class Work:
    """A kind of work: hours quoted and logged; price and cost of the quoted hours, cost of the logged ones.

    by_hours: where all of it was quoted as an estimate, what the logged hours come to at the quoted rate, at most its
    cap; None where a price was fixed.
    """

    name: str
    quoted: Decimal
    logged: Decimal
    price: Decimal
    cost: Decimal
    cost_so_far: Decimal
    by_hours: Decimal | None = None

    @property
    def over(self):
        return self.cost_so_far - self.cost


@dataclass
class Compared:
    """All amounts without tax. held: what was paid beyond the price of what is bought and worked so far.

    other_price, other_cost: of lines that are neither part nor work, as quoted.
    """

    currency: str
    landed: Landed
    coming: Coming
    parts_price: Decimal = NOTHING
    parts_cost: Decimal = NOTHING
    other_price: Decimal = NOTHING
    other_cost: Decimal = NOTHING
    work: list = field(default_factory=list)
    held: Decimal = NOTHING
    earned: Earned | None = None

    @property
    def bought(self):
        """What came, at its landed cost, and what is ordered beyond it, at the order's price."""
        return self.landed.total + self.coming.cost

    @property
    def estimated(self):
        """Whether any work was quoted as an estimate."""
        return any(row.by_hours is not None for row in self.work)

    @property
    def parts_over(self):
        return self.bought - self.parts_cost


def compare(job):
    """The Compared of a job with something agreed, in nine queries; ten where unquoted work was logged."""
    issues = Issue.objects.filter(quote__job=job, state=Issue.State.ACCEPTED)
    currency, sums = issues[0].currency, issues.aggregate(net=Sum("net"), total=Sum("total"))
    landed = landed_for([job.tray_id], currency)[job.tray_id]
    found = Compared(currency, landed, coming_for(job.tray_id, currency))
    quoted, caps = {}, {}
    for line in IssueLine.objects.filter(issue__in=issues).select_related("work_kind"):
        cost = rounded(line.quantity * (line.unit_cost or 0), currency)
        if line.kind == IssueLine.PART:
            found.parts_price += line.amount
            found.parts_cost += cost
        elif line.kind == IssueLine.LABOUR and line.work_kind:
            hours, price, costs = quoted.get(line.work_kind, (NOTHING, NOTHING, NOTHING))
            quoted[line.work_kind] = hours + line.quantity, price + line.amount, costs + cost
            caps.setdefault(line.work_kind, []).append(line.cap)
        else:
            found.other_price += line.amount
            found.other_cost += cost
    _worked(found, job, quoted, caps, currency)
    paid = Payment.objects.filter(bill__job=job).aggregate(sum=Sum("amount"))["sum"] or NOTHING
    _held(found, paid, (sums["net"] or NOTHING) / sums["total"] if sums["total"] else NOTHING, currency)
    found.earned = Earned.of(job, found, sums["net"])
    return found


def _worked(found, job, quoted, caps, currency):
    entries = HoursEntry.objects.filter(task__job=job).order_by().values_list("task__work_kind")
    logged = {kind: in_hours(time) for kind, time in entries.annotate(time=HoursEntry.time_until())}
    kinds = {kind.pk: kind for kind in quoted}
    if logged.keys() - kinds.keys():  # work that nobody quoted costs all the same
        kinds |= WorkKind.objects.in_bulk(logged.keys() - kinds.keys())
    for kind in kinds.values():
        hours, price, cost = quoted.get(kind, (NOTHING, NOTHING, NOTHING))
        so_far = logged.get(kind.pk, NOTHING)
        spent = rounded(so_far * (kind.cost or 0), currency)
        by_hours = _by_hours(caps.get(kind, [None]), so_far, price, hours, currency)
        found.work.append(Work(kind.name, hours, so_far, price, cost, spent, by_hours))


def _by_hours(caps, logged, price, hours, currency):
    if None in caps or hours <= 0:
        return None
    return min(rounded(logged * price / hours, currency), rounded(sum(caps), currency))


def _held(found, paid, net_share, currency):
    """Paid without its tax, less parts and hours at their quoted prices, each as far as it is bought or worked."""
    parts = min(found.bought / found.parts_cost, 1) * found.parts_price if found.parts_cost > 0 else NOTHING
    work = sum((min(w.logged / w.quoted, 1) * w.price for w in found.work if w.quoted > 0), NOTHING)
    found.held = rounded(max(paid * net_share - parts - work, NOTHING), currency)
