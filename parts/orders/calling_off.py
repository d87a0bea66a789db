"""What a tray waits for and shall not get after all: called off, or for another tray instead."""

from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from parts.shelf.counting import counted, shown
from parts.workshop import audit
from parts.workshop.refusal import Refused

from .expected import outstanding_by_share
from .models import OrderLine


def _held(line, tray, quantity):
    """(order, line, share) as they stand now, the order's row locked; Refused when less is still open for the tray."""
    order = line.order.locked()
    now = OrderLine.objects.with_arrivals().select_related("part", "order").get(pk=line.pk)
    open_ = dict(outstanding_by_share([now])[now.pk]).get(tray, Decimal(0))
    if order.cancelled_at or quantity > open_:
        raise Refused(
            _("Only %(open)s of %(part)s are still to come for %(tray)s.")
            % {"open": shown(0 if order.cancelled_at else open_), "part": now.part, "tray": tray},
            "quantity",
        )
    return order, now, now.shares.get(tray=tray)


@transaction.atomic
def call_off(line, tray, quantity, by, reason=""):
    """The supplier shall not deliver some of what is open for a tray; what came is costed anew.

    A line of which nothing is left stays on the order at zero; an order without any other is cancelled.
    Raises Refused when less than that is still open for the tray.
    """
    quantity = counted(quantity, line.part.unit)
    order, now, share = _held(line, tray, quantity)
    follows = order.is_draft and order.carriage == order.usual_carriage
    before, now.quantity = now.quantity, now.quantity - quantity
    now.save(update_fields=["quantity"])
    share.lessen(quantity)
    if follows:
        order.carriage = order.usual_carriage
        order.save(update_fields=["carriage"])
    audit.record(
        by, "called off", f"order {order}", {"quantity": before, "part": now.part.name},
        {"quantity": now.quantity, "tray": tray.name, "reason": reason},
    )  # fmt: skip
    order.cost_arrivals()
    order.call_off_if_empty(by)


@transaction.atomic
def reassign(line, tray, other, quantity, by):
    """What is open for one tray shall come for another. Raises Refused when less than that is still open."""
    quantity = counted(quantity, line.part.unit)
    order, now, share = _held(line, tray, quantity)
    share.lessen(quantity)
    now.share_out(other, quantity)
    audit.record(
        by, "reassigned", f"order {order}", {"tray": tray.name},
        {"tray": other.name, "part": now.part.name, "quantity": quantity},
    )  # fmt: skip
