"""What is still to come, for whom and when: for the bench plan, the board and the buy list."""

import datetime
from collections import defaultdict
from decimal import Decimal
from typing import NamedTuple

from django.db.models import OuterRef, Subquery, Sum

from .arrivals import Arrival
from .models import Order, OrderLine, Share
from .sharing import open_wants
from .standing import QUANTITY


class Expected(NamedTuple):
    """Some of a part that an order brings. promised: None while the order is a draft without dates."""

    quantity: Decimal
    promised: datetime.date | None
    order: Order


def _with_came(shares):
    """Shares, the most pressing first, each with `came`: what arrivals that stand brought its tray in good order."""
    brought = (
        Arrival.objects.standing()
        .filter(line=OuterRef("line"), condition=Arrival.GOOD, moves__target__tray=OuterRef("tray"))
        .order_by()
        .values("line")
        .annotate(sum=Sum("moves__quantity"))
        .values("sum")
    )
    return shares.annotate(came=Subquery(brought, output_field=QUANTITY)).in_need_order()


def _waiting(shares, credited):
    """{line id: [(Share, quantity it still waits for)]} of shares _with_came(), in their order."""
    by_line = defaultdict(list)
    for share in shares:
        by_line[share.line_id].append(share)
    found = {}
    for line, ours in by_line.items():
        came = {share: share.came or Decimal(0) for share in ours}
        found[line] = open_wants([(share, share.quantity) for share in ours], came, credited[line])
    return found


def outstanding_by_share(lines):
    """{line id: [(Tray, quantity it still waits for)]}, the most pressing share first.

    lines: OrderLines with_arrivals(). One query, whatever their number.
    """
    credited = {line.pk: line.credited for line in lines}
    shares = _with_came(Share.objects.filter(line__in=list(credited)).select_related("tray"))
    waiting = _waiting(shares, credited)
    return {pk: [(share.tray, wanted) for share, wanted in waiting.get(pk, ())] for pk in credited}


def expected_by_tray(trays, drafted=False):
    """{(tray id, part id): [Expected]} of some trays, the soonest first. One query, whatever their number.

    drafted: count what stands on drafts as well; only placed orders otherwise.
    """
    lines = OrderLine.objects.filter(shares__tray__in=trays, order__cancelled_at=None)
    if not drafted:
        lines = lines.filter(order__placed_at__isnull=False)
    credit = OrderLine.objects.with_arrivals().filter(pk=OuterRef("line")).values("credited")
    # All shares of those lines: a credit is taken from the least pressing of them, ours or not.
    shares = Share.objects.filter(line__in=lines.values("pk")).select_related("line__order__supplier")
    shares = list(_with_came(shares).annotate(credited=Subquery(credit)))
    ids = {tray.pk if hasattr(tray, "pk") else tray for tray in trays}
    found = defaultdict(list)
    for waiting in _waiting(shares, {share.line_id: share.credited for share in shares}).values():
        for share, wanted in waiting:
            if wanted > 0 and share.tray_id in ids:
                line = share.line
                found[share.tray_id, line.part_id].append(Expected(wanted, line.promised, line.order))
    for entries in found.values():
        entries.sort(key=lambda one: (one.promised is None, one.promised or datetime.date.max, one.order.number))
    return dict(found)
