"""What is still to come, for whom and when: for the bench plan, the board and the buy list."""

import datetime
from collections import defaultdict
from decimal import Decimal
from typing import NamedTuple

from django.db.models import OuterRef, Subquery, Sum

from .arrivals import Arrival
from .models import Order, OrderLine, Share
from .sharing import NOTHING, open_wants
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
    """{line id: [(share, quantity it still waits for)]} of shares _with_came() or such rows, in their order."""
    by_line = defaultdict(list)
    for share in shares:
        by_line[share.line_id].append(share)
    found = {}
    for line, ours in by_line.items():
        came = {place: share.came or NOTHING for place, share in enumerate(ours)}
        wants = open_wants([(place, share.quantity) for place, share in enumerate(ours)], came, credited[line])
        found[line] = [(ours[place], wanted) for place, wanted in wants]
    return found


def outstanding_by_share(lines):
    """{line id: [(Tray, quantity it still waits for)]}, the most pressing share first.

    lines: OrderLines with_arrivals(). One query, whatever their number.
    """
    credited = {line.pk: line.credited for line in lines}
    shares = _with_came(Share.objects.filter(line__in=list(credited)).select_related("tray"))
    waiting = _waiting(shares, credited)
    return {pk: [(share.tray, wanted) for share, wanted in waiting.get(pk, ())] for pk in credited}


def still_to_come(trays, drafted=False):
    """(tray id, part id, quantity, promised day, order id) of what orders bring to some trays; one query.

    trays: trays or their ids. drafted: count what stands on drafts as well; only placed orders otherwise.
    """
    lines = OrderLine.objects.filter(shares__tray__in=trays, order__cancelled_at=None)
    if not drafted:
        lines = lines.filter(order__placed_at__isnull=False)
    credit = OrderLine.objects.with_arrivals().filter(pk=OuterRef("line")).values("credited")
    # All shares of those lines: a credit is taken from the least pressing of them, ours or not. Plain rows, as a
    # board of many jobs asks for thousands.
    shares = list(
        _with_came(Share.objects.filter(line__in=lines.values("pk")))
        .annotate(credited=Subquery(credit))
        .values_list(
            "line_id", "tray_id", "quantity", "came", "credited", "line__part", "line__promised", "line__order",
            named=True,
        )
    )  # fmt: skip
    ids = {tray.pk if hasattr(tray, "pk") else tray for tray in trays}
    return [
        (share.tray_id, share.line__part, wanted, share.line__promised, share.line__order)
        for waiting in _waiting(shares, {share.line_id: share.credited for share in shares}).values()
        for share, wanted in waiting
        if wanted > 0 and share.tray_id in ids
    ]


def expected_by_tray(trays, drafted=False):
    """{(tray id, part id): [Expected]} of some trays, the soonest first. Two queries; see still_to_come."""
    coming = still_to_come(trays, drafted)
    orders = Order.objects.select_related("supplier").in_bulk({row[4] for row in coming})
    found = defaultdict(list)
    for tray, part, quantity, promised, order in coming:
        found[tray, part].append(Expected(quantity, promised, orders[order]))
    for entries in found.values():
        entries.sort(key=lambda one: (one.promised is None, one.promised or datetime.date.max, one.order.number))
    return dict(found)
