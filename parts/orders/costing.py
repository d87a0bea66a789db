"""What each arrival cost: a line's landed cost dealt out over what came of it, written beside the move."""

from collections import defaultdict

from parts.shelf.models import Move
from parts.workshop.models import Workshop

from .arrivals import Arrival
from .landed import portions


def cost_arrivals(order):
    """Write the landed cost of each good arrival that stands beside its moves; in the workshop's currency.

    Called wherever costs or arrivals change: charges often come weeks after the goods. Nothing is known, and
    nothing written, while the order has no rate. Four queries, and one where a cost changed.
    """
    lines = {line.pk: line for line in order.lines.all()}
    landed, ours = order.landed(), Workshop.current().currency
    came = defaultdict(list)
    links = Arrival.moves.through.objects.filter(
        arrival__line__in=lines, arrival__undone_at=None, arrival__condition=Arrival.GOOD
    )
    for link in links.select_related("move", "arrival").order_by("move"):
        came[link.arrival.line_id].append(link.move)
    changed = []
    for line_id, moves in came.items():
        if line_id not in landed:
            continue
        quantities = [move.quantity for move in moves]
        costs = portions(landed[line_id].total, lines[line_id].quantity, quantities, ours)
        for move, cost in zip(moves, costs, strict=True):
            if move.cost != cost:
                move.cost = cost
                changed.append(move)
    Move.objects.bulk_update(changed, ["cost"])
