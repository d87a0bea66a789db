"""When it goes wrong: a part found bad later, a job that ends before it is done. Each change one transaction."""

from dataclasses import dataclass, field
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from builds.jobs.models import Job, Stage
from builds.labour.models import Task, network_of
from builds.labour.network import before_all
from builds.quotes.models import Issue, Quote
from builds.specs.models import SpecVersion
from parts.orders.expected import outstanding_by_share
from parts.orders.models import Order, OrderLine, ReturnCase
from parts.shelf.models import Stock, Tray, Unit
from parts.suppliers.models import SupplierPrice
from parts.workshop.photos import Photo
from parts.workshop.refusal import Refused

from .ordering import SIXTH

NO_OTHER, BUY, FREE, VARY = "none", "buy", "free", "vary"
CALL_OFF, SHELVE, RETURN, HAND_OVER, GIVE_BACK = "call off", "shelve", "return", "hand over", "give back"
NOTHING = Decimal(0)


def job_of(tray):
    """The job whose tray it is, or None for the free shelf."""
    return Job.objects.filter(tray=tray).select_related("tray").first()


def rework_of(job, part):
    """([tasks done that used the part], [tasks done after them]): what a new one means doing again."""
    spec = SpecVersion.objects.agreed_for(job) or SpecVersion.objects.current_for(job)
    done = {task.pk: task for task in Task.objects.filter(job=job, done_at__isnull=False)}
    roles = spec.lines.filter(part=part).values("role") if spec else []
    direct = set(Task.objects.filter(job=job, needs__role__in=roles).values_list("pk", flat=True)) & done.keys()
    follows = network_of(job)
    later = [pk for pk in done.keys() - direct if direct & set(before_all(follows, pk))]
    return [done[pk] for pk in done if pk in direct], [done[pk] for pk in done if pk in later]


@transaction.atomic
def found_bad(stock, by, *, quantity, found, note, another=NO_OTHER, again=(), units=(), photo=None):
    """A part in stock turned out bad: out of the tray, a return opened, another drafted, its tasks reopened.

    another: BUY drafts one at the supplier's price, FREE at no price. again: tasks to do once more. The client's own
    part goes to no supplier: its tasks wait until another comes; VARY drafts the variation that puts one of ours in
    its place. Returns (ReturnCase or None, OrderLine or None, the variation's Issue or None).
    """
    case = line = change = None
    if stock.owner == Stock.OURS:
        case = ReturnCase.open_for(stock, quantity=quantity, by=by, found=found, note=note, units=units)
        move = case.move
        if another != NO_OTHER:
            line = _draft_another(case, another, by)
            case.replace_by(line, by)
    else:
        reason = _("the client's own, dead: %(what)s") % {"what": note}
        move = stock.take_out(quantity=quantity, reason=reason, by=by, units=units)
    if photo:
        move.photos.add(Photo.keep(photo, by))
    for task in again:
        task.reopen(by, reason=_("%(part)s was bad: %(what)s") % {"part": stock.part, "what": note})
    if stock.owner == Stock.CLIENTS and another == VARY:
        change = _vary_for_ours(stock, quantity, by)
    return case, line, change


def _vary_for_ours(stock, quantity, by):
    """Draft the variation in which parts of ours stand where the client's own did; None where nothing is agreed.

    A variation that is being drafted already takes the change in: the dead part is said either way.
    """
    job = job_of(stock.tray)
    if job is None or not job.is_live or Issue.objects.agreed_for(job) is None:
        return None
    spec = SpecVersion.objects.for_change(job, by)
    for line in spec.lines.filter(part=stock.part_id, client_supplied=True).select_related("role", "part"):
        if quantity <= 0:
            break
        spec.put(line.role, line.part, by, client_supplied=False)
        quantity -= line.quantity
    drafted = Issue.objects.filter(quote__job=job, quote__alters__isnull=False, state=Issue.State.DRAFTED).first()
    if drafted is None:
        return Quote.vary(job, spec, by)
    drafted.lay_again(spec, by)
    return drafted


def _draft_another(case, another, by):
    prices = SupplierPrice.objects.filter(part=case.part).select_related("supplier")
    known = prices.filter(supplier=case.supplier).first() if case.supplier else None
    cheapest = min(prices, key=lambda price: price.unit_price, default=None)
    supplier = case.supplier or (cheapest and cheapest.supplier)
    if supplier is None:
        raise Refused(_("Nobody is known to sell this part; choose no other, and order it by hand."), "another")
    last = OrderLine.objects.filter(part=case.part, order__supplier=supplier, unit_price__gt=0).order_by("-pk").first()
    asked = known.unit_price if known else last.unit_price if last else NOTHING
    order = Order.objects.filter(supplier=supplier, placed_at=None, cancelled_at=None).order_by("number").first()
    order = order or Order.draft(supplier, by)
    price = NOTHING if another == FREE else asked.quantize(SIXTH)
    return order.add_line(case.part, case.quantity, price, by, shares={case.tray: (case.quantity, None)})


@dataclass
class Left:
    """What a job still has or waits for. lines: [(order line, quantity open for its tray)]. stock: its tray's rows."""

    lines: list = field(default_factory=list)
    stock: list = field(default_factory=list)

    def __bool__(self):
        return bool(self.lines or self.stock)


def left_of(job):
    """The Left of a job; four queries."""
    lines = OrderLine.objects.filter(shares__tray=job.tray_id, order__cancelled_at=None).with_arrivals()
    lines = list(lines.select_related("part", "order__supplier").order_by("order__number", "pk"))
    waits = outstanding_by_share(lines)
    open_ = [(line, dict(waits[line.pk]).get(job.tray, NOTHING)) for line in lines]
    stock = Stock.objects.lying().filter(tray=job.tray_id).select_related("part", "tray", "place").order_by("part")
    return Left([(line, quantity) for line, quantity in open_ if quantity > 0], list(stock))


@transaction.atomic
def settle(job, choices, by):
    """Do with each share and each part of an ended job what was chosen; anything not named stays as it is.

    choices: {("line" or "stock", pk): what}. Refused while the job is live.
    """
    if job.stage not in (Stage.CANCELLED, Stage.LOST):
        raise Refused(_("%(job)s goes on; end it first, then say what becomes of its parts.") % {"job": job})
    left, shelf, reason = left_of(job), Tray.free_shelf(), _("%(job)s ended") % {"job": job}
    for line, quantity in left.lines:
        what = choices.get(("line", line.pk))
        if what == CALL_OFF:
            line.call_off(job.tray, quantity, by, reason)
        elif what == SHELVE:
            line.reassign(job.tray, shelf, quantity, by)
    for stock in left.stock:
        what = choices.get(("stock", stock.pk))
        how = {"quantity": stock.quantity, "by": by, "units": _units_going(stock, what, left.stock, choices)}
        if what == SHELVE:
            stock.move(tray=shelf, reason=reason, **how)
        elif what == RETURN:
            ReturnCase.open_for(stock, reason=ReturnCase.UNWANTED, note=reason, **how)
        elif what == HAND_OVER:
            stock.take_out(reason=_("handed over to the client, %(job)s ended") % {"job": job}, **how)
        elif what == GIVE_BACK:
            give_back(stock, by)


def _units_going(stock, what, rows, choices):
    """Serial numbers that go with one row of a part lying at several places: any, where all of it goes one way."""
    alike = [row for row in rows if row.part_id == stock.part_id]
    if len(alike) == 1 or any(choices.get(("stock", row.pk)) != what for row in alike):
        return ()
    return Unit.objects.filter(part=stock.part_id, tray=stock.tray_id, left=None)[: int(stock.quantity)]


def give_back(stock, by):
    """The client's own part goes back to him; the move is the record of it."""
    if stock.owner != Stock.CLIENTS:
        raise Refused(_("This is the workshop's own; only the client's parts are given back."))
    return stock.take_out(quantity=stock.quantity, reason=_("given back to the client"), by=by)


@transaction.atomic
def put_successor(job, line, by):
    """Put a withdrawn part's successor into the spec in its place; the version it stands in now."""
    if line.part.successor is None:
        raise Refused(_("%(part)s has no successor in the catalogue yet.") % {"part": line.part})
    spec = SpecVersion.objects.for_change(job, by)
    spec.put(line.role, line.part.successor, by, quantity=line.quantity)
    return spec
