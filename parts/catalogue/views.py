from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_http_methods, require_safe

from parts.kinds import all_kinds
from parts.workshop.access import for_workshop
from parts.workshop.answers import answer

from .forms import PartForm
from .models import Part

PAGE = 50
SORTS = {
    "kind": (_("kind"), ["kind", "name"]),
    "name": (_("name"), ["name", "kind"]),
    "maker": (_("maker"), ["maker", "name"]),
    "newest": (_("newest first"), ["-pk"]),
}


@for_workshop
@require_safe
def listing(request):
    """The catalogue: found by words, narrowed by kind, sorted, a page at a time."""
    asked = {"q": request.GET.get("q", ""), "kind": request.GET.get("kind", ""), "sort": request.GET.get("sort", "")}
    asked["withdrawn"] = bool(request.GET.get("withdrawn"))
    parts = Part.objects.matching(asked["q"]) if asked["withdrawn"] else Part.objects.offered().matching(asked["q"])
    if asked["kind"] in all_kinds():
        parts = parts.filter(kind=asked["kind"])
    parts = parts.order_by(*SORTS.get(asked["sort"], SORTS["kind"])[1]).with_facts()
    if request.user.is_owner:
        parts = parts.prefetch_related("prices__supplier")
    context = {
        "page": Paginator(parts, PAGE).get_page(request.GET.get("page")),
        "kinds": all_kinds().values(),
        "sorts": [(key, word) for key, (word, _columns) in SORTS.items()],
        **asked,
    }
    return answer(request, "catalogue/list.html", context, fragment="catalogue/_rows.html")


@for_workshop
@require_safe
def part(request, pk):
    """One part: its facts with where they come from; what it costs, for the owner."""
    found = get_object_or_404(Part.objects.with_facts().select_related("successor"), pk=pk)
    prices = found.prices.select_related("supplier") if request.user.is_owner else []
    return answer(request, "catalogue/part.html", {"part": found, "prices": prices})


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
