from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import prefetch_related_objects
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from parts.kinds import all_kinds
from parts.workshop.access import for_workshop
from parts.workshop.answers import answer
from parts.workshop.tables import as_file

from .asking import SORTS, Asked
from .comparing import side_by_side
from .export import NAME_COLUMN, catalogue_rows
from .forms import FactForm, PartForm, PictureForm
from .models import Part

PAGE = 50
MOST_COMPARED = 4
HISTORY = 20


@for_workshop
@require_safe
def listing(request):
    """The catalogue: found by a typed line, narrowed by kind and facts, sorted, a page at a time."""
    asked = Asked(request.GET)
    parts = asked.parts.with_facts()
    if request.user.is_owner:
        parts = parts.prefetch_related("prices__supplier")
    page = Paginator(parts, PAGE).get_page(request.GET.get("page"))
    page.object_list = Part.objects.count_free(list(page.object_list))
    context = {
        "page": page,
        "kinds": all_kinds().values(),
        "sorts": [(key, word) for key, (word, _columns) in SORTS.items()],
        "asked": asked,
        "new_facts": request.GET.get("shown", "") != asked.query.kind,
    }
    return answer(request, "catalogue/list.html", context, fragment="catalogue/_rows.html")


@for_workshop
@require_safe
def export(request, form):
    """The parts that the list shows, as a file that reads in again; with prices for the owner."""
    rows = catalogue_rows(Asked(request.GET).parts, with_prices=request.user.is_owner)
    name = f"catalogue-{timezone.localdate():%Y-%m-%d}"
    return as_file(form, rows, name, _("Catalogue"), NAME_COLUMN)


@for_workshop
@require_safe
def compare(request):
    """Two parts, or up to four, side by side, fact by fact."""
    keys = [int(key) for key in request.GET.getlist("part") if key.isdecimal() and len(key) < 10][:MOST_COMPARED]
    found = Part.objects.with_facts().in_bulk(keys)
    parts = [found[key] for key in dict.fromkeys(keys) if key in found]
    if len(parts) < 2:
        messages.info(request, _("Tick two parts or more to compare them."))
        return redirect("catalogue:list")
    rows = side_by_side(Part.objects.count_free(parts))
    context = {
        "parts": parts, "columns": len(parts) + 1, "kinds_differ": len({part.kind for part in parts}) > 1,
        "apart": [row for row in rows if row.apart], "alike": [row for row in rows if not row.apart],
    }  # fmt: skip
    if request.user.is_owner:
        prefetch_related_objects(parts, "prices__supplier")
    return answer(request, "catalogue/compare.html", context)


@for_workshop
@require_safe
def part(request, pk):
    """One part: its facts with where they come from; what it costs, for the owner."""
    found = get_object_or_404(Part.objects.with_facts().select_related("successor"), pk=pk)
    Part.objects.count_free([found])
    prices = found.prices.select_related("supplier") if request.user.is_owner else []
    context = {"part": found, "prices": prices, "history": found.history()[:HISTORY]}
    return answer(request, "catalogue/part.html", context)


@for_workshop
@require_http_methods(["GET", "POST"])
def add(request):
    """Choose a kind, then fill in what it declares."""
    kind = all_kinds().get(request.POST.get("kind") or request.GET.get("kind", ""))
    if kind is None:
        return answer(request, "catalogue/kinds.html", {"kinds": all_kinds().values()})
    form = PartForm(request.POST or None, kind=kind, person=request.user)
    if request.method == "POST" and form.is_valid() and form.store():
        return redirect("catalogue:part", form.instance.pk) if form.instance.pk else redirect("catalogue:list")
    return answer(request, "catalogue/edit.html", {"form": form, "kind": kind})


@for_workshop
@require_http_methods(["GET", "POST"])
def edit(request, pk):
    found = get_object_or_404(Part.objects.with_facts(), pk=pk)
    form = PartForm(request.POST or None, instance=found, kind=found.spec, person=request.user)
    if request.method == "POST" and form.is_valid() and form.store():
        return redirect("catalogue:part", pk)
    return answer(request, "catalogue/edit.html", {"form": form, "kind": found.spec, "part": found})


@for_workshop
@require_http_methods(["GET", "POST"])
def fact(request, pk, name):
    """One fact of a part: what is measured, declared and remembered, and what became of it."""
    found = get_object_or_404(Part.objects.with_facts(), pk=pk)
    spec = found.spec.fact(name)
    if spec is None:
        raise Http404
    form = FactForm(request.POST or None, person=request.user, subject=found, spec=spec)
    if request.method == "POST" and form.is_valid() and form.store():
        return redirect("catalogue:part", pk)
    context = {"part": found, "spec": spec, "form": form, "history": found.history(name)}
    return answer(request, "catalogue/fact.html", context)


@for_workshop
@require_http_methods(["GET", "POST"])
def photo(request, pk):
    """The photo a part is known by: taken, changed, taken away."""
    found = get_object_or_404(Part, pk=pk)
    form = PictureForm(request.POST or None, request.FILES or None, person=request.user, subject=found)
    if request.method == "POST" and form.is_valid() and form.store():
        return redirect("catalogue:part", pk)
    return answer(request, "catalogue/photo.html", {"part": found, "form": form})
