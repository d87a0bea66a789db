from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Prefetch
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from parts.catalogue.carriage import CARRIAGE, DEARER, consignments
from parts.catalogue.models import Part
from parts.suppliers.models import SupplierPrice
from parts.workshop.access import for_owner, for_workshop
from parts.workshop.answers import acting, answer

from .arrivals import Arrival
from .expected import outstanding_by_share
from .forms import CancelForm, DraftForm, LineForm, OrderForm, PromiseForm
from .models import Order, OrderLine
from .standing import OPEN, State

CHOICES = [
    ("", gettext_lazy("open and drafted")),
    ("late", gettext_lazy("late")),
    ("silent", gettext_lazy("no word yet")),
    *((state.value, state.label) for state in State),
    ("all", gettext_lazy("every one")),
]


@for_workshop
@require_safe
def listing(request):
    """Orders by what is due first; the ones that are over only when asked for."""
    words, state = request.GET.get("q", "")[:120], request.GET.get("state", "")
    orders = Order.objects.with_state().matching(words).select_related("supplier")
    if state in State.values:
        orders = orders.filter(standing=state)
    elif state == "late":
        orders = orders.filter(standing__in=OPEN, due__lt=timezone.localdate())
    elif state == "silent":
        orders = orders.filter(is_silent=True)
    elif state != "all":
        orders = orders.filter(standing__in=[*OPEN, State.DRAFTED])
    lines = Prefetch("lines", OrderLine.objects.with_arrivals().select_related("part"))
    page = Paginator(orders.late_first().prefetch_related(lines), 50).get_page(request.GET.get("page"))
    context = {"page": page, "q": words, "state": state, "choices": CHOICES}
    return answer(request, "orders/list.html", context, fragment="orders/_rows.html")


@for_workshop
@require_safe
def order(request, number):
    """One order: what was ordered, what came, what is outstanding; what it costs, for the owner."""
    found = _order(number)
    rows = found.lines.with_arrivals().in_their_words().select_related("part", "order")
    lines = list(rows.prefetch_related("shares__tray"))
    landed = found.landed() if request.user.is_owner else {}
    for line in lines:
        line.landed, line.carriage_name = landed.get(line.pk), dict(CARRIAGE).get(line.carriage_class, "")
    arrivals = Arrival.objects.filter(line__order=found).select_related("line__part", "person")
    context = {
        "order": found,
        "lines": lines,
        "arrivals": arrivals.prefetch_related("returns", "photos"),
        "landed_total": sum(cost.total for cost in landed.values()) if landed else None,
        "unweighed": found.unweighed if request.user.is_owner else [],
        "ways": consignments(line.carriage_class for line in lines),
        "dearer": any(line.carriage_class in DEARER for line in lines),
        "unconfirmed": any(line.outstanding and not line.confirmed_at and not line.is_late for line in lines),
        "is_open": found.state in OPEN,
    }
    return answer(request, "orders/order.html", context)


@for_owner
@require_http_methods(["GET", "POST"])
def draft(request):
    """Begin an order by hand; the buy list of a job begins them by itself."""
    form = DraftForm(request.POST or None, person=request.user, initial={"supplier": request.GET.get("supplier")})
    if request.method == "POST" and form.is_valid() and form.carry_out(form.draft):
        return redirect("orders:find_part", form.result.number) if form.result else redirect("orders:list")
    return answer(request, "orders/draft.html", {"form": form})


@for_owner
@require_http_methods(["GET", "POST"])
def edit(request, number):
    found = _order(number)
    form = OrderForm(request.POST or None, instance=found, person=request.user)
    if request.method == "POST" and form.is_valid() and form.store():
        return redirect("orders:order", number)
    return answer(request, "orders/edit.html", {"form": form, "order": _order(number)})


@for_owner
@require_safe
def find_part(request, number):
    """Choose what to put on a draft, by any words of its name; what this supplier sells comes first."""
    found, words = _order(number), request.GET.get("q", "")[:120]
    sold = SupplierPrice.objects.filter(supplier=found.supplier).select_related("part")
    sold = sold.filter(part__in=Part.objects.matching(words)).order_by("part__name")[:40]
    others = Part.objects.matching(words).exclude(prices__supplier=found.supplier).order_by("name")
    context = {"order": found, "q": words, "sold": sold, "others": others[:20] if words.strip() else []}
    return answer(request, "orders/find_part.html", context, fragment="orders/_parts.html")


@for_owner
@require_http_methods(["GET", "POST"])
def add_line(request, number, part):
    found, part = _order(number), get_object_or_404(Part, pk=part)
    price = SupplierPrice.objects.filter(supplier=found.supplier, part=part).first()
    start = {
        "quantity": price.pack_size.normalize() if price else 1,
        "unit_price": _trimmed(price and price.unit_price),
        "weight_kg": OrderLine.objects.weights_of([part]).get(part.pk),
    }
    form = LineForm(request.POST or None, order=found, part=part, person=request.user, initial=start)
    if request.method == "POST" and form.is_valid() and form.carry_out(form.keep):
        return redirect("orders:order", number)
    return answer(request, "orders/line.html", {"form": form, "order": found, "part": part, "price": price})


@for_owner
@require_http_methods(["GET", "POST"])
def line(request, number, pk):
    """Correct a line of a draft; on a placed order, write down the date the supplier now gives."""
    found = _order(number)
    row = get_object_or_404(found.lines.select_related("part", "order"), pk=pk)
    if found.is_draft:
        start = {"quantity": row.quantity.normalize(), "unit_price": _trimmed(row.unit_price)}
        start["weight_kg"] = row.weight_kg
        form = LineForm(request.POST or None, order=found, part=row.part, line=row, person=request.user, initial=start)
    else:
        form = PromiseForm(request.POST or None, line=row, person=request.user)
    if request.method == "POST" and form.is_valid() and form.carry_out(form.keep):
        return redirect("orders:order", number)
    return answer(request, "orders/line.html", {"form": form, "order": found, "part": row.part, "line": row})


def _trimmed(price):
    """A price as one types it: at least two decimals, no idle zeros behind them."""
    if price is None:
        return None
    whole, _point, parts = f"{price:.6f}".partition(".")
    return f"{whole}.{parts.rstrip('0'):0<2}"


@for_owner
@require_POST
def remove_line(request, number, pk):
    row = get_object_or_404(OrderLine.objects.select_related("part", "order"), pk=pk, order__number=number)
    with acting(request):
        row.remove(request.user)
    messages.success(request, _("%(part)s is off the order.") % {"part": row.part})
    return redirect("orders:order", number)


@for_owner
@require_http_methods(["GET", "POST"])
def cancel(request, number):
    """Asks first; what came already stays here."""
    found = _order(number)
    form = CancelForm(request.POST or None, person=request.user)
    if (
        request.method == "POST" and form.is_valid()
        and form.carry_out(lambda: found.cancel(request.user, form.cleaned_data["reason"]))
    ):  # fmt: skip
        messages.success(
            request, _("%(order)s is cancelled. Tell the supplier, if the order went out.") % {"order": found}
        )
        return redirect("orders:order", number)
    waits = outstanding_by_share(found.lines.with_arrivals())
    trays = sorted({tray.name for shares in waits.values() for tray, wanted in shares if wanted > 0})
    return answer(request, "orders/cancel.html", {"form": form, "order": found, "trays": trays})


@for_owner
@require_POST
def confirm(request, number):
    """The supplier confirmed the dates as they stand."""
    found = _order(number)
    with acting(request):
        found.confirm(request.user)
    messages.success(request, _("Written down: %(supplier)s confirmed the dates.") % {"supplier": found.supplier})
    return redirect("orders:order", number)


@for_owner
@require_POST
def again(request, number):
    """Take a cancelled order up again."""
    found = _order(number)
    with acting(request):
        found.take_up_again(request.user)
    return redirect("orders:order", number)


def _order(number):
    return get_object_or_404(Order.objects.with_state().select_related("supplier"), number=number)
