from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Q
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from parts.catalogue.models import Part
from parts.workshop.access import for_workshop
from parts.workshop.answers import answer
from parts.workshop.middleware import way_back

from . import labels
from .forms import CountForm, MoveForm, PutInForm, SerialForm, known_places
from .models import Move, Place, Stock, Tray, Unit


@for_workshop
@require_safe
def listing(request):
    """What is here: every part in every tray, found by part, tray or place."""
    words, tray, place = (request.GET.get(key, "")[:120] for key in ("q", "tray", "place"))
    stock = Stock.objects.lying().matching(words).select_related("part", "tray", "place")
    if tray:
        stock = stock.filter(tray__name=tray)
    if place:
        stock = stock.filter(place__name=place)
    page = Paginator(stock.order_by("part__name", "tray__name", "place__name"), 50).get_page(request.GET.get("page"))
    trays = Tray.objects.filter(stock__quantity__gt=0).distinct().order_by("-is_free_shelf", "name")
    context = {"page": page, "q": words, "tray": tray, "place": place, "trays": trays, "places": known_places()}
    return answer(request, "shelf/list.html", context, fragment="shelf/_rows.html")


@for_workshop
@require_safe
def at(request, kind, pk):
    """Where a label's code leads: what lies at the place or in the tray."""
    model = {labels.PLACE: Place, labels.TRAY: Tray}.get(kind)
    if model is None:
        raise Http404
    found = get_object_or_404(model, pk=pk)
    return redirect(f"{reverse('shelf:list')}?{urlencode({kind: found.name})}")


@for_workshop
@require_safe
def row(request, pk):
    """One part in one tray at one place: carry it elsewhere, count it anew, see where it came from."""
    return _row_page(request, _stock(pk))


@for_workshop
@require_POST
def move(request, pk):
    stock = _stock(pk)
    form = MoveForm(request.POST, stock=stock, person=request.user)
    if form.is_valid() and form.carry_out(form.move):
        messages.success(
            request,
            _("%(part)s is in %(tray)s now.")
            % {"part": stock.part, "tray": form.cleaned_data.get("tray") or form.data.get("tray")},
        )
        return redirect("shelf:list")
    return _row_page(request, stock, moving=form)


@for_workshop
@require_POST
def count(request, pk):
    stock = _stock(pk)
    form = CountForm(request.POST, stock=stock, person=request.user)
    if form.is_valid() and form.carry_out(form.count):
        messages.success(request, _("The count of %(part)s is corrected.") % {"part": stock.part})
        return redirect("shelf:row", pk)
    return _row_page(request, stock, counting=form)


def _stock(pk):
    return get_object_or_404(Stock.objects.select_related("part", "tray", "place"), pk=pk)


def _row_page(request, stock, moving=None, counting=None):
    about = {"stock": stock, "person": request.user}
    free = stock.tray if stock.tray.is_free_shelf else Tray.free_shelf()
    to = "" if stock.tray == free or stock.owner == Stock.CLIENTS else free.name
    context = {
        "stock": stock,
        "units": Unit.objects.filter(part=stock.part_id, tray=stock.tray_id, left=None).order_by("serial"),
        "moving": moving or MoveForm(**about, initial={"quantity": stock.quantity.normalize(), "tray": to}),
        "counting": counting or CountForm(**about, auto_id="count_%s"),
        "moves": Move.objects.filter(Q(source=stock) | Q(target=stock))
        .select_related("source__tray", "source__place", "target__tray", "target__place", "person")
        .prefetch_related("photos")[:12],
    }
    return answer(request, "shelf/row.html", context)


@for_workshop
@require_http_methods(["GET", "POST"])
def serial(request, pk):
    """Correct a serial number; what stood there before stays in the audit trail. ?next= says where to go on."""
    unit = get_object_or_404(Unit.objects.select_related("part", "tray"), pk=pk)
    form = SerialForm(request.POST or None, person=request.user, initial={"serial": unit.serial})
    if request.method == "POST" and form.is_valid():
        if form.carry_out(lambda: unit.correct_serial(form.cleaned_data["serial"], request.user)):
            messages.success(request, _("The serial number is corrected."))
            return redirect(way_back(request))
    back = request.POST.get("next") or request.GET.get("next") or reverse("shelf:list")
    return answer(request, "shelf/serial.html", {"form": form, "unit": unit, "back": back})


@for_workshop
@require_safe
def find_part(request):
    """Choose the part to put in, by any words of its name."""
    words = request.GET.get("q", "")[:120]
    parts = Part.objects.matching(words).order_by("name")[:30] if words.strip() else []
    return answer(request, "shelf/find_part.html", {"q": words, "parts": parts}, fragment="shelf/_parts.html")


@for_workshop
@require_http_methods(["GET", "POST"])
def put_in(request, pk):
    """Put in by hand what no order brought: counted anew, or a client's own part."""
    part = get_object_or_404(Part, pk=pk)
    start = {"tray": request.GET.get("tray", Tray.free_shelf().name), "owner": request.GET.get("owner", Stock.OURS)}
    form = PutInForm(request.POST or None, part=part, person=request.user, initial=start)
    if request.method == "POST" and form.is_valid() and form.carry_out(form.put_in):
        messages.success(request, _("%(part)s is on the shelf.") % {"part": part})
        return redirect("shelf:list")
    return answer(request, "shelf/put_in.html", {"form": form, "part": part})
