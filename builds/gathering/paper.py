"""An order on paper, for its supplier."""

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from builds.sheets.models import Document
from builds.sheets.render import render_pdf
from parts.orders.models import Order
from parts.workshop.models import Workshop

TEMPLATE = "sheets/order.html"


def context(order):
    """Everything the paper shows: their codes, quantities, prices in their currency; nothing of jobs or clients."""
    lines = list(order.lines.in_their_words().select_related("part"))
    dates = [line.promised for line in lines if line.promised]
    return {
        "title": _("Order %(order)s") % {"order": order},
        "state": "" if order.placed_at else _("draft, not ordered yet"),
        "workshop": Workshop.current(),
        "order": order,
        "supplier": order.supplier,
        "lines": lines,
        "day": timezone.localtime(order.placed_at).date() if order.placed_at else timezone.localdate(),
        "wanted_by": max(dates, default=None),
        "goods": sum((line.amount for line in lines), 0),
        "total": sum((line.amount for line in lines), 0) + order.carriage,
    }


def order_paper(order: Order):
    """The PDF's bytes. A placed order's paper is frozen when it is first opened and stays that paper."""
    if not order.placed_at:
        return render_pdf(TEMPLATE, context(order))
    return _frozen(order).read()


def _frozen(order):
    key = {"kind": "order", "number": str(order), "issue": 1}
    found = Document.objects.filter(**key).first()
    if found:
        return found
    title = f"{_('Order %(order)s') % {'order': order}}: {order.supplier}"[:160]
    pdf = render_pdf(TEMPLATE, context(order))
    try:
        with transaction.atomic():
            return Document.freeze(**key, title=title, pdf=pdf)
    except IntegrityError:  # somebody opened it in the same moment; theirs is the paper
        return Document.objects.get(**key)
