from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.sheets.render import render_pdf
from parts.workshop.access import for_workshop
from parts.workshop.answers import acting, answer
from parts.workshop.refusal import Refused

from .cable_book import book_of
from .cable_forms import CableForm, PinOutForm
from .cables import Cable, PinOut
from .models import SpecVersion
from .views import job_of


@for_workshop
@require_http_methods(["GET", "POST"])
def cables(request, number):
    """The cable book of a job; a POST adds a cable."""
    job = job_of(request, number)
    spec = SpecVersion.objects.current_for(job)
    form = CableForm(request.POST or None, person=request.user, spec=spec)
    if request.method == "POST" and spec and form.is_valid():
        if form.carry_out(lambda: Cable(spec=spec).alter(request.user, **form.values())):
            return redirect("specs:cables", number)
    book = book_of(spec, request.workshop) if spec else None
    return answer(request, "specs/cables.html", {"job": job, "spec": spec, "book": book, "form": form})


def _page(request, number, cable):
    """(job, the book, the cable's page in it)."""
    job = job_of(request, number)
    spec = SpecVersion.objects.current_for(job)
    get_object_or_404(Cable, pk=cable, spec=spec)
    book = book_of(spec, request.workshop)
    return job, book, book.page(cable)


@for_workshop
@require_http_methods(["GET", "POST"])
def cable(request, number, cable):
    """One cable: what was measured of it, its cut list, its wires as they were rung through."""
    job, book, page = _page(request, number, cable)
    form = CableForm(request.POST or None, person=request.user, spec=book.spec, cable=page.cable)
    if request.method == "POST" and form.is_valid():
        if form.carry_out(lambda: page.cable.alter(request.user, **form.values())):
            return redirect("specs:cable", number, cable)
    return answer(request, "specs/cable.html", {"job": job, "page": page, "form": form})


@for_workshop
@require_http_methods(["GET", "POST"])
def pin_out(request, number, cable):
    """The pin-out map of this cable's connectors on this model of supply: fill it in, then sign it."""
    job, _book, page = _page(request, number, cable)
    if page.part is None:
        raise Refused(_("The spec has no part for this supply any more; choose it first."))
    keys = {"supply_connector": page.cable.supply_connector, "device_connector": page.cable.device_connector}
    found = page.pin_out or PinOut(part=page.part, **keys)
    form = PinOutForm(request.POST or None, person=request.user, pin_out=found)
    if request.method == "POST" and form.is_valid() and form.carry_out(lambda: _fill(request, found, form.values())):
        return redirect("specs:cable", number, cable)
    return answer(request, "specs/pin_out.html", {"job": job, "page": page, "pin_out": found, "form": form})


def _fill(request, found, pins):
    found.fill(pins, request.user)
    if "sign" in request.POST:
        found.sign(request.user)


@for_workshop
@require_POST
def ring(request, number, cable):
    """Sign the wires that were rung through."""
    _job, _book, page = _page(request, number, cable)
    pins = {int(pin) for pin in request.POST.getlist("pin") if pin.isdigit()}
    with acting(request):
        fresh = page.cable.ring_through(pins, page.pin_out, request.user)
    said = ngettext("%(n)d wire signed.", "%(n)d wires signed.", len(fresh)) % {"n": len(fresh)}
    messages.success(request, said)
    return redirect("specs:cable", number, cable)


@for_workshop
@require_POST
def remove(request, number, cable):
    _job, _book, page = _page(request, number, cable)
    with acting(request):
        page.cable.remove(request.user)
    return redirect("specs:cables", number)


@for_workshop
@require_safe
def cut_sheet(request, number):
    """The cut sheet as it is printed for the bench."""
    job = job_of(request, number)
    spec = get_object_or_404(SpecVersion.objects.filter(job=job).order_by("-number")[:1])
    context = {"job": job, "book": book_of(spec, request.workshop), "workshop": request.workshop,
               "title": _("Cut sheet %(job)s") % {"job": job}}  # fmt: skip
    answer = HttpResponse(render_pdf("sheets/cut_sheet.html", context), content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{job}-cut-sheet.pdf"'
    return answer
