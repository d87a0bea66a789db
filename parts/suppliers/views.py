from django.core.paginator import Paginator
from django.db.models import Count
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods, require_safe

from parts.catalogue.models import Part
from parts.workshop.access import for_owner
from parts.workshop.answers import answer

from .forms import PriceForm, SupplierForm
from .models import Supplier, SupplierPrice


@for_owner
@require_safe
def listing(request):
    """All suppliers with what matters when ordering."""
    words = request.GET.get("q", "")
    suppliers = Supplier.objects.matching(words).annotate(price_count=Count("prices")).order_by("name")
    page = Paginator(suppliers, 50).get_page(request.GET.get("page"))
    return answer(request, "suppliers/list.html", {"page": page, "q": words}, fragment="suppliers/_rows.html")


@for_owner
@require_safe
def supplier(request, pk):
    """One supplier and its prices."""
    found = get_object_or_404(Supplier, pk=pk)
    prices = found.prices.select_related("part", "supplier").order_by("part__kind", "part__name")
    page = Paginator(prices, 50).get_page(request.GET.get("page"))
    return answer(request, "suppliers/supplier.html", {"supplier": found, "page": page})


@for_owner
@require_http_methods(["GET", "POST"])
def edit(request, pk=None):
    """Add a supplier, or change one."""
    found = get_object_or_404(Supplier, pk=pk) if pk else None
    start = {} if found else {"initial": {"currency": request.workshop.currency}}
    form = SupplierForm(request.POST or None, instance=found, person=request.user, **start)
    if request.method == "POST" and form.is_valid() and form.store():
        return redirect("suppliers:supplier", form.instance.pk) if form.instance.pk else redirect("suppliers:list")
    return answer(request, "suppliers/edit.html", {"form": form, "supplier": found})


@for_owner
@require_http_methods(["GET", "POST"])
def add_price(request, part_pk):
    part = get_object_or_404(Part, pk=part_pk)
    form = PriceForm(request.POST or None, part=part, person=request.user)
    if request.method == "POST" and form.is_valid() and form.store():
        return redirect("catalogue:part", part.pk)
    return answer(request, "suppliers/price.html", {"form": form, "part": part})


@for_owner
@require_http_methods(["GET", "POST"])
def edit_price(request, pk):
    price = get_object_or_404(SupplierPrice.objects.select_related("part", "supplier"), pk=pk)
    form = PriceForm(request.POST or None, instance=price, part=price.part, person=request.user)
    if request.method == "POST" and form.is_valid() and form.store():
        return redirect("catalogue:part", price.part_id)
    return answer(request, "suppliers/price.html", {"form": form, "part": price.part, "price": price})
