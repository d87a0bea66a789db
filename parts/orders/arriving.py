"""Goods in: a delivery checked against its order and written down, all of it or nothing."""

from dataclasses import dataclass, replace
from decimal import Decimal

from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from parts.shelf.carrying import Spot, Step
from parts.shelf.counting import counted, shown
from parts.shelf.models import Place, Stock, Tray, Unit, tidy
from parts.workshop import audit
from parts.workshop.photos import CleanPhoto, Photo
from parts.workshop.refusal import Refused

from .arrivals import Arrival, ReturnCase
from .expected import outstanding_by_share
from .models import OrderLine
from .sharing import allot


@dataclass(frozen=True)
class Came:
    """What came for one line. confirmed: more than outstanding is kept knowingly. photo: of what came, cleaned."""

    line_id: int
    quantity: Decimal
    condition: str = Arrival.GOOD
    place: Place | None = None
    serials: tuple[str, ...] = ()
    note: str = ""
    confirmed: bool = False
    photo: CleanPhoto | None = None


class LineRefused(Refused):
    """A refusal that concerns one line of a delivery. over: only more than outstanding; it can be confirmed."""

    def __init__(self, message, field, line_id, over=False):
        super().__init__(message, field)
        self.line_id = line_id
        self.over = over


@transaction.atomic
def receive(order, came, by):
    """Write down what came for an order's lines; the Arrivals in the order of `came`.

    Good pieces go to the trays of the line's shares, the most pressing first, a confirmed surplus to the free shelf;
    damaged and wrong ones open a return; what was short stays outstanding. The order's row is locked, so of two people
    who take in the same line the second sees what the first left outstanding. Raises Refused (LineRefused with field
    and line) when the order is a draft or cancelled, a quantity cannot be, more came than is outstanding and nobody
    confirmed it, a serial number is known already.
    """
    order = order.locked()
    _check_order(order)
    lines = {
        line.pk: line
        for line in OrderLine.objects.filter(order=order, pk__in=[item.line_id for item in came])
        .with_arrivals()
        .select_related("part")
    }
    came = [_checked(item, lines) for item in came]
    wants, free = outstanding_by_share(lines.values()), Tray.free_shelf()
    trays = {tray.pk: tray for shares in wants.values() for tray, _wanted in shares} | {free.pk: free}
    parcels = [_parcels(item, wants, free) for item in came]
    moves = iter(Stock.objects.carry(_steps(order, came, lines, parcels), by))
    arrivals = Arrival.objects.bulk_create(
        Arrival(line=lines[i.line_id], quantity=i.quantity, condition=i.condition, note=i.note[:200], person=by)
        for i in came
    )
    links = []
    for arrival, item, shares in zip(arrivals, came, parcels, strict=True):
        brought = [(next(moves), trays[tray_id]) for tray_id, _quantity in shares]
        links += [Arrival.moves.through(arrival=arrival, move=move) for move, _tray in brought]
        _enter_serials(item, brought)
        if item.photo:
            arrival.photos.add(Photo.keep(item.photo, by))
    Arrival.moves.through.objects.bulk_create(links)
    ReturnCase.objects.bulk_create(
        ReturnCase(
            arrival=arrival,
            part=arrival.line.part,
            quantity=arrival.quantity,
            supplier_id=order.supplier_id,
            reason=arrival.condition,
            note=arrival.note,
        )
        for arrival in arrivals
        if arrival.condition in Arrival.BAD
    )
    order.cost_arrivals()
    order.take_lessons()
    said = {str(n): f"{shown(a.quantity)} {a.condition}: {a.line.part.name}" for n, a in enumerate(arrivals, 1)}
    audit.record(by, "received", f"order {order}", after=said)
    return arrivals


def _check_order(order):
    if order.cancelled_at:
        raise Refused(
            _(
                "%(order)s was cancelled on %(day)s. Send the parcel back, or have the owner take the order up again "
                "on its page and receive it then."
            )
            % {"order": order, "day": date_format(order.cancelled_at)}
        )
    if not order.placed_at:
        raise Refused(_("%(order)s is still a draft; place it first, then receive what came.") % {"order": order})


def _checked(item, lines):
    """The item with its quantity as it will be stored; LineRefused at the field that is wrong."""
    line = lines.get(item.line_id)
    if line is None:
        raise Refused(_("This line is not on the order any more; open the order again."))
    if item.condition not in dict(Arrival.CONDITIONS):
        raise LineRefused(_("Choose good, damaged, wrong item or short."), "condition", line.pk)
    try:
        quantity = counted(item.quantity, line.part.unit)
    except Refused as refusal:
        raise LineRefused(refusal.message, "quantity", line.pk) from None
    if quantity > line.outstanding and not item.confirmed:
        raise LineRefused(
            _(
                "%(came)s came, but only %(open)s of the %(ordered)s ordered are outstanding. Type %(open)s, "
                "or mark that the surplus stays here."
            )
            % {"came": shown(quantity), "open": shown(line.outstanding), "ordered": shown(line.quantity)},
            "quantity", line.pk, over=True,
        )  # fmt: skip
    line.outstanding = max(line.outstanding - quantity, Decimal(0))
    serials = tuple(tidy(item.serials))
    if item.condition != Arrival.GOOD:
        if serials:
            raise LineRefused(
                _("Serial numbers are kept for good pieces only; put it in the note."), "serials", line.pk
            )
    elif item.place is None:
        raise LineRefused(_("Say where it goes, as in “bench” or “box 3”."), "place", line.pk)
    if len(serials) > quantity:
        raise LineRefused(
            _("%(serials)s serial numbers for %(count)s pieces; leave some out.")
            % {"serials": len(serials), "count": shown(quantity)},
            "serials", line.pk,
        )  # fmt: skip
    return replace(item, quantity=quantity, serials=serials)


def _parcels(item, wants, free):
    """Where one item's pieces go: [(tray id, quantity)]; the surplus to the free shelf."""
    if item.condition != Arrival.GOOD:
        return []
    given, rest = allot(item.quantity, [(tray.pk, wanted) for tray, wanted in wants[item.line_id]])
    parcels = dict(given)
    if rest:
        parcels[free.pk] = parcels.get(free.pk, Decimal(0)) + rest
    wants[item.line_id] = [(tray, wanted - parcels.get(tray.pk, Decimal(0))) for tray, wanted in wants[item.line_id]]
    return list(parcels.items())


def _steps(order, came, lines, parcels):
    for item, shares in zip(came, parcels, strict=True):
        for tray_id, quantity in shares:
            target = Spot(tray_id, item.place.pk, Stock.OURS)
            yield Step(lines[item.line_id].part, quantity, _("came on %(order)s") % {"order": order}, target=target)


def _enter_serials(item, brought):
    """Serial numbers to the trays their pieces went to, in the order they were typed."""
    serials, entries = list(item.serials), []
    for move, tray in brought:
        mine, serials = serials[: int(move.quantity)], serials[int(move.quantity) :]
        entries.append((move, tray, mine))
    try:
        Unit.enter(entries)
    except Refused as refusal:
        raise LineRefused(refusal.message, "serials", item.line_id) from None
