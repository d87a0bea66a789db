"""From the buy list to orders, from the free shelf to the tray: the changes of this room, each one transaction."""

from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from builds.jobs.models import Job, Stage
from parts.orders.models import Order, OrderLine
from parts.shelf.models import Stock, Tray
from parts.workshop.photos import Photo
from parts.workshop.refusal import Refused

from .gathered import gather
from .shopping import buy_list

SIXTH = Decimal("0.000001")


def _hold(job):
    """Lock the job's tray: what is missing is reckoned and ordered by one person at a time."""
    Tray.objects.select_for_update(no_key=True).get(pk=job.tray_id)
    job.refresh_from_db(fields=["stage"])
    if not job.is_live:
        raise Refused(
            _("%(job)s is %(stage)s; nothing is gathered for it.") % {"job": job, "stage": job.get_stage_display()}
        )


@transaction.atomic
def make_orders(job, by, *, fixed=None, wish="price", join=True):
    """Draft an order for each supplier of the buy list; the orders that were made or added to.

    What stands on drafts and orders for the tray counts as bought, so doing it twice orders nothing twice. fixed:
    {part id: supplier id} chosen by hand. join: add to a draft that stands for the supplier already, carriage and
    all. Raises Refused before the spec is agreed and when nothing is left to buy.
    """
    _hold(job)
    gathered = gather(job)
    if not gathered.agreed:
        raise Refused(
            _("Nothing is ordered before the client accepts: send the quote and record the acceptance first.")
        )
    baskets = buy_list(gathered, by=wish, fixed=fixed).baskets
    if not baskets:
        raise Refused(_("There is nothing to order: all of it is here, on the shelf, on order, or held up by a stop."))
    return [_order_basket(basket, job, by, join) for basket in baskets]


def _order_basket(basket, job, by, join):
    order = basket.draft if join and basket.draft else Order.draft(basket.supplier, by)
    weights = OrderLine.objects.weights_of([line.part for line in basket.lines])
    for line in basket.lines:
        price, shares = line.price.unit_price.quantize(SIXTH), {job.tray: (line.wanted, job.promise or job.deadline)}
        order.add_line(line.part, line.bought, price, by, shares=shares, weight_kg=weights.get(line.part.pk))
    return order


@transaction.atomic
def place(order, by, promised=None):
    """Place an order (see Order.place); the first one placed for a job brings it to gathering."""
    order.place(by, promised)
    for job in Job.objects.live().filter(tray__shares__line__order=order).distinct():
        job.reach(Stage.GATHERING, by)


@transaction.atomic
def take_from_shelf(job, part, by):
    """Move what the job needs of a part from the free shelf to its tray; returns how much."""
    _hold(job)
    wanted = taken = gather(job, checked=False).from_shelf(part.pk)
    for stock in Stock.objects.free().filter(part=part).select_related("part", "tray", "place").order_by("pk"):
        if not wanted:
            break
        quantity = min(stock.quantity, wanted)
        stock.move(tray=job.tray, quantity=quantity, reason=_("for %(job)s") % {"job": job}, by=by)
        wanted -= quantity
    if not taken or wanted:
        raise Refused(_("The free shelf has no %(part)s to spare for it any more.") % {"part": part})
    return taken


@transaction.atomic
def bring(job, line, by, *, quantity, place, condition, serials=(), photo=None):
    """The client's own part for a role came: into the tray as his, with its condition and photo, unvalued."""
    if not line.client_supplied:
        raise Refused(_("The workshop supplies the %(role)s; it comes by goods in.") % {"role": line.role})
    move = Stock.put_in(
        part=line.part, tray=job.tray, place=place, quantity=quantity, owner=Stock.CLIENTS, by=by, serials=serials,
        reason=_("from the client: %(condition)s") % {"condition": condition},
    )  # fmt: skip
    if photo:
        move.photos.add(Photo.keep(photo, by))
    return move
