"""What the parts of a tray cost: landed already, and still on their way; all in the workshop's currency."""

from dataclasses import dataclass
from decimal import Decimal

from parts.shelf.models import Stock
from parts.workshop.money import rounded

from .expected import outstanding_by_share
from .models import OrderLine, ReturnCase

NOTHING = Decimal(0)


@dataclass(frozen=True)
class Landed:
    """What came for a tray. unknown: how many pieces or metres have no known cost."""

    cost: Decimal = NOTHING
    credited: Decimal = NOTHING
    unknown: Decimal = NOTHING

    @property
    def total(self):
        return self.cost - self.credited


@dataclass(frozen=True)
class Coming:
    """What placed orders still bring, at the order's price; carriage and duty come with the landed cost.

    without_rate: something of it is on an order that has no rate of exchange yet, and is not counted.
    """

    cost: Decimal = NOTHING
    without_rate: bool = False


def landed_for(trays, ours):
    """{tray id: Landed}: our parts that came for some trays, less what suppliers credited; three queries."""
    costs = Stock.objects.costs_of(trays, ours)
    credits = ReturnCase.objects.credits_by_tray(trays)
    return {tray: Landed(cost.total, credits.get(tray, NOTHING), cost.unknown) for tray, cost in costs.items()}


def coming_for(tray, ours):
    """The Coming of a tray, by its id; two queries."""
    lines = OrderLine.objects.filter(shares__tray=tray, order__placed_at__isnull=False, order__cancelled_at=None)
    lines = {line.pk: line for line in lines.with_arrivals().select_related("order")}
    cost, without_rate = NOTHING, False
    for pk, waits in outstanding_by_share(lines.values()).items():
        wanted = sum((quantity for whose, quantity in waits if whose.pk == tray), NOTHING)
        if wanted <= 0:
            continue
        if (rate := lines[pk].order.rate) is None:
            without_rate = True
        else:
            cost += rounded(wanted * lines[pk].unit_price * rate, ours)
    return Coming(cost, without_rate)
