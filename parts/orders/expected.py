"""What is still to come, for whom and when: for the bench plan, the board and the buy list."""

import datetime
from collections import defaultdict
from decimal import Decimal
from typing import NamedTuple

from django.db.models import Sum

from .arrivals import Arrival
from .models import Order, OrderLine, Share
from .sharing import open_wants


class Expected(NamedTuple):
    """Some of a part that an order brings. promised: None while the order is a draft without dates."""

    quantity: Decimal
    promised: datetime.date | None
    order: Order


def outstanding_by_share(lines):
    """{line id: [(Tray, quantity it still waits for)]}, the most pressing share first.

    lines: OrderLines with_arrivals(). Two queries, whatever their number.
    """
    lines = list(lines)
    came = defaultdict(dict)
    brought = (
        Arrival.objects.standing()
        .filter(line__in=lines, condition=Arrival.GOOD)
        .order_by()
        .values_list("line", "moves__target__tray")
        .annotate(sum=Sum("moves__quantity"))
    )
    for line, tray, quantity in brought:
        came[line][tray] = quantity
    shares = defaultdict(list)
    for share in Share.objects.filter(line__in=lines).select_related("tray").in_need_order():
        shares[share.line_id].append(share)
    wants = {}
    for line in lines:
        trays = {share.tray_id: share.tray for share in shares[line.pk]}
        open_ = open_wants([(s.tray_id, s.quantity) for s in shares[line.pk]], came[line.pk], line.credited)
        wants[line.pk] = [(trays[key], wanted) for key, wanted in open_]
    return wants


def expected_by_tray(trays, drafted=False):
    """{(tray id, part id): [Expected]} of some trays, the soonest first. Three queries, whatever their number.

    drafted: count what stands on drafts as well; only placed orders otherwise.
    """
    lines = OrderLine.objects.filter(shares__tray__in=trays, order__cancelled_at=None).distinct()
    if not drafted:
        lines = lines.filter(order__placed_at__isnull=False)
    lines = lines.with_arrivals().select_related("order__supplier")
    lines = {line.pk: line for line in lines}
    ids = {tray.pk if hasattr(tray, "pk") else tray for tray in trays}
    found = defaultdict(list)
    for line_id, shares in outstanding_by_share(lines.values()).items():
        line = lines[line_id]
        for tray, wanted in shares:
            if wanted > 0 and tray.pk in ids:
                found[tray.pk, line.part_id].append(Expected(wanted, line.promised, line.order))
    for entries in found.values():
        entries.sort(key=lambda one: (one.promised is None, one.promised or datetime.date.max, one.order.number))
    return dict(found)
