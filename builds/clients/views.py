from django.core.paginator import Paginator
from django.db.models import Count
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods, require_safe

from parts.workshop.access import for_owner
from parts.workshop.answers import answer

from .forms import ClientForm
from .models import Client


@for_owner
@require_safe
def listing(request):
    """All clients, found by any word of name, contact, e-mail or phone."""
    words = request.GET.get("q", "")
    clients = (
        Client.objects.visible_to(request.user).matching(words).annotate(job_count=Count("jobs")).order_by("name", "pk")
    )
    page = Paginator(clients, 50).get_page(request.GET.get("page"))
    return answer(request, "clients/list.html", {"page": page, "q": words}, fragment="clients/_rows.html")


@for_owner
@require_safe
def client(request, pk):
    found = get_object_or_404(Client.objects.visible_to(request.user), pk=pk)
    return answer(request, "clients/client.html", {"client": found, "jobs": found.jobs.order_by("-number")})


@for_owner
@require_http_methods(["GET", "POST"])
def edit(request, pk=None):
    """Add a client, or change one."""
    found = get_object_or_404(Client.objects.visible_to(request.user), pk=pk) if pk else None
    form = ClientForm(request.POST or None, instance=found, person=request.user)
    if request.method == "POST" and form.is_valid() and form.store():
        return redirect("clients:client", form.instance.pk) if form.instance.pk else redirect("clients:list")
    return answer(request, "clients/edit.html", {"form": form, "client": found})
