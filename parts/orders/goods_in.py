"""Views of goods in and of returns, made for one thumb."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.db.models import Prefetch
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from parts.shelf import labels
from parts.shelf.forms import PlaceField, known_places
from parts.shelf.models import Move
from parts.workshop.access import for_workshop
from parts.workshop.answers import acting, answer
from parts.workshop.refusal import Refused

from .arrivals import Arrival, ReturnCase
from .expected import outstanding_by_share
from .forms import EverythingForm, ReceiveForm, ReturnForm
from .models import Order, OrderLine
from .standing import OPEN


@for_workshop
@require_safe
def goods_in(request):
    """Which order came? Open ones, the most overdue first; a typed order number opens it at once."""
    words = request.GET.get("q", "").strip()[:200]
    orders = Order.objects.with_state().select_related("supplier")
    scanned = labels.read(words)
    if scanned and scanned[0] == labels.TRAY:
        orders = orders.filter(lines__shares__tray=scanned[1]).distinct()
    else:
        orders = orders.matching(words)
    typed = words.upper().removeprefix("O-")
    if typed != words and typed.isdecimal() and len(typed) < 10 and not request.htmx:
        exact = Order.objects.filter(number=int(typed)).first()
        if exact:
            return redirect("orders:receive", exact.number)
    lines = Prefetch("lines", OrderLine.objects.outstanding_now().select_related("part"))
    found = orders.filter(standing__in=OPEN).late_first().prefetch_related(lines)
    page = Paginator(found, 25).get_page(request.GET.get("page"))
    return answer(request, "orders/goods_in.html", {"page": page, "q": words}, fragment="orders/_coming.html")


@for_workshop
@require_http_methods(["GET", "POST"])
def receive(request, number):
    """The lines of one order that are outstanding; each is taken in by one tap, or all of them at once."""
    order = get_object_or_404(Order.objects.with_state().select_related("supplier"), number=number)
    place = _typed_place(request) or usual_place(request.user)
    if request.method == "GET":
        return _receive_page(request, order, place)
    form = EverythingForm(request.POST, person=request.user)
    lines = order.lines.outstanding_now()
    if form.is_valid() and form.carry_out(lambda: form.receive(order, lines)):
        messages.success(request, _("All that was outstanding on %(order)s is here.") % {"order": order})
        return redirect("orders:order", number)
    return _receive_page(request, order, place, everything=form)


def _typed_place(request):
    """Where all of a delivery goes: a name, or a scanned label; empty for a label of something else."""
    try:
        return PlaceField(required=False).clean(request.GET.get("place", "")[:200])
    except ValidationError as error:
        messages.error(request, " ".join(error.messages))
        return ""


@for_workshop
@require_POST
def receive_line(request, number, pk):
    """What came of one line; for HTMX the line as it stands then."""
    line = _line(number, pk)
    form = ReceiveForm(request.POST, request.FILES, line=line, person=request.user)
    if form.is_valid() and form.carry_out(form.receive):
        place = form.cleaned_data["place"]
        if request.htmx:
            return _line_answer(request, _line(number, pk), place)
        messages.success(request, _("Taken in: %(part)s.") % {"part": line.part})
        return redirect(f"{reverse('orders:receive', args=[number])}?{urlencode({'place': place})}")
    if request.htmx:
        return _line_answer(request, line, form=form)
    return _receive_page(request, line.order, usual_place(request.user), wrong=form)


def _line(number, pk):
    lines = OrderLine.objects.with_arrivals().in_their_words().select_related("part", "order__supplier")
    return get_object_or_404(lines, pk=pk, order__number=number)


def _line_answer(request, line, place="", form=None):
    line.waits = outstanding_by_share([line])[line.pk]
    line.form = form or ReceiveForm(line=line, place=place, person=request.user)
    line.latest = None if form else line.arrivals.standing().first()
    line.went = line.latest.moves.select_related("target__tray") if line.latest else []
    return answer(request, "orders/_line.html", {"line": line, "order": line.order, "alone": True})


def _receive_page(request, order, place, everything=None, wrong=None):
    lines = list(order.lines.outstanding_now().in_their_words().select_related("part")) if order.state in OPEN else []
    waits = outstanding_by_share(lines)
    for line in lines:
        line.waits = waits[line.pk]
        mine = wrong and wrong.line.pk == line.pk
        line.form = wrong if mine else ReceiveForm(line=line, place=place, person=request.user)
    context = {
        "order": order, "lines": lines, "place": place, "places": known_places(),
        "everything": everything or EverythingForm(person=request.user, initial={"place": place}),
        "arrivals": Arrival.objects.standing().filter(line__order=order).select_related("line__part", "person")
        .prefetch_related("returns", "photos"),
    }  # fmt: skip
    return answer(request, "orders/receive.html", context)


def usual_place(person):
    """Where this person put something last."""
    last = Move.objects.filter(person=person, target__isnull=False).select_related("target__place").first()
    return last.target.place.name if last else ""


@for_workshop
@require_POST
def undo(request, pk):
    """Take back an arrival entered by mistake."""
    arrival = get_object_or_404(Arrival.objects.select_related("line__order"), pk=pk)
    with acting(request):
        arrival.undo(request.user)
    messages.success(request, _("Taken back; the line is outstanding again."))
    return redirect("orders:receive", arrival.line.order.number)


@for_workshop
@require_safe
def returns(request):
    """Damaged and wrong items on their way back."""
    return _returns_page(request)


@for_workshop
@require_POST
def return_case(request, pk):
    case = get_object_or_404(ReturnCase.objects.select_related("arrival__line__order", "part"), pk=pk)
    if case.is_closed:
        raise Refused(_("This return is closed: %(state)s.") % {"state": case.get_state_display()})
    form = ReturnForm(request.POST, case=case, person=request.user, currency=request.workshop.currency)
    if form.is_valid() and form.carry_out(form.move_on):
        return redirect("orders:returns")
    return _returns_page(request, wrong=form)


def _returns_page(request, wrong=None):
    cases = ReturnCase.objects.select_related(
        "part", "supplier", "tray", "arrival__line__order__supplier", "replacement__order__supplier"
    )
    wanted = "closed" if request.GET.get("closed") else "open"
    cases = cases.filter(state__in=ReturnCase.CLOSED) if wanted == "closed" else cases.open()
    cases = cases.prefetch_related("move__units_gone", "move__photos", "arrival__photos")
    page = Paginator(cases, 50).get_page(request.GET.get("page"))
    for case in page:
        mine = wrong and wrong.case.pk == case.pk
        case.form = wrong if mine else ReturnForm(case=case, person=request.user, currency=request.workshop.currency)
    return answer(request, "orders/returns.html", {"page": page, "wanted": wanted})
