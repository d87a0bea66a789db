"""Kinds of work and their rates: the owner's."""

from django.contrib import messages
from django.db.models import Count
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from parts.workshop.access import for_owner
from parts.workshop.answers import answer

from .forms import WorkKindForm
from .models import PlanPattern, WorkKind


@for_owner
@require_safe
def rates(request):
    """Kinds of work with their rates, and the plan patterns."""
    patterns = PlanPattern.objects.annotate(steps=Count("tasks"))
    return answer(request, "labour/rates.html", {"kinds": WorkKind.objects.all(), "patterns": patterns})


@for_owner
@require_http_methods(["GET", "POST"])
def rate_edit(request, pk=None):
    kind = get_object_or_404(WorkKind, pk=pk) if pk else None
    form = WorkKindForm(request.POST or None, instance=kind, person=request.user)
    if request.method == "POST" and form.is_valid() and form.store():
        messages.success(request, _("Rate saved; quotes already sent keep theirs."))
        return redirect("labour:rates")
    return answer(request, "labour/rate.html", {"form": form, "kind": kind})
