from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from parts.catalogue.drafts import ImportDraft
from parts.workshop.access import for_owner
from parts.workshop.answers import acting, answer

from .models import SpecVersion
from .views import job_of

RECENT = 12


@for_owner
@require_http_methods(["GET", "POST"])
def take(request, number):
    """Take a parts list that was read in over into the spec: choose it, look at its rows, take them."""
    job = job_of(request, number)
    mine = ImportDraft.objects.of(request.user).filter(saved_at__isnull=False, undone_at=None)
    wanted = request.POST.get("list") or request.GET.get("list") or ""
    chosen = get_object_or_404(mine, pk=wanted) if wanted.isdigit() else None
    rows = chosen.saved_rows() if chosen else []
    if request.method == "POST" and rows:
        with acting(request):
            lines = SpecVersion.objects.for_change(job, request.user).take_rows(rows, request.user)
        said = ngettext("%(n)d role made from “%(list)s”.", "%(n)d roles made from “%(list)s”.", len(lines))
        messages.success(request, said % {"n": len(lines), "list": chosen})
        return redirect("specs:spec", number)
    current = SpecVersion.objects.current_for(job)
    there = set(current.lines.values_list("part_id", flat=True)) if current else set()
    context = {"job": job, "lists": mine.defer("rows", "corrections", "changes")[:RECENT], "chosen": chosen,
               "rows": [(*row, row[0].pk in there) for row in rows]}  # fmt: skip
    return answer(request, "specs/take.html", context)
