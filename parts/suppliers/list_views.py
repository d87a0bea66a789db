"""Reading in the parts list that the workshop keeps: send, match columns, look through, save all or nothing."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from parts.catalogue.drafts import ImportDraft
from parts.workshop.access import for_owner
from parts.workshop.answers import acting, answer

from .list_effects import Effects
from .list_forms import ColumnsForm, CorrectionsForm, ListFileForm
from .list_progress import is_long, stream
from .list_rows import as_rows, rows_shown
from .lists import save_list, undo_list
from .models import Supplier
from .seeding import load_starter

PAGE = 50


@for_owner
@require_http_methods(["GET", "POST"])
def send(request):
    """Send a file; it is read and kept, nothing is saved yet."""
    form = ListFileForm(request.POST or None, request.FILES or None, person=request.user)
    mine = ImportDraft.objects.of(request.user).defer("rows", "others", "doubts", "corrections", "saved", "changes")
    if request.method == "POST" and form.is_valid() and form.carry_out(form.begin):
        return redirect("catalogue:import_columns", (form.result or mine.first()).pk)
    return answer(request, "catalogue/import_send.html", {"form": form, "lists": mine[:10]})


@for_owner
@require_http_methods(["GET", "POST"])
def columns(request, pk):
    """Which column holds what; guessed, or remembered from the last list with these headings."""
    draft = get_object_or_404(ImportDraft.objects.of(request.user), pk=pk)
    if draft.saved_at:
        return redirect("catalogue:import_saved", pk)
    form = ColumnsForm(request.POST or None, person=request.user, subject=draft)
    if request.method == "POST" and form.is_valid() and form.match():
        return redirect("catalogue:import_preview", pk)
    return answer(request, "catalogue/import_columns.html", {"form": form, "draft": draft})


@for_owner
@require_POST
def sheet(request, pk):
    """Read another sheet of the workbook that was sent."""
    draft = get_object_or_404(ImportDraft.objects.of(request.user), pk=pk)
    with acting(request):
        draft.choose(request.POST.get("sheet", ""), request.user)
    return redirect("catalogue:import_columns", pk)


@for_owner
@require_http_methods(["GET", "POST"])
def preview(request, pk):
    """Every row as it will be saved, every problem at its cell; corrections are made here."""
    draft = get_object_or_404(ImportDraft.objects.of(request.user), pk=pk)
    if draft.saved_at:
        return redirect("catalogue:import_saved", pk)
    if not draft.matched_at:
        return redirect("catalogue:import_columns", pk)
    if request.method == "GET" and is_long(draft):
        steps = draft.read_in_steps(Supplier.objects.currencies())
        return stream(request, draft, steps, lambda reading: _looked_through(request, draft, reading))
    context = _looked_through(request, draft, draft.read(Supplier.objects.currencies()))
    if request.method == "POST" and context["form"].is_valid() and context["form"].correct():
        return redirect("catalogue:import_preview", pk)
    return answer(request, "catalogue/import_preview.html", context)


def _looked_through(request, draft, reading):
    """What the preview shows of a Reading: a page of its rows, with a form for their problems."""
    only = request.GET.get("show", "problems" if reading.problems else "all") == "problems"
    page = Paginator(rows_shown(draft, reading, only), PAGE).get_page(request.GET.get("page"))
    form = CorrectionsForm(
        request.POST or None, person=request.user, subject=draft, problems=reading.problems, shown=page.object_list
    )
    effects, rows = Effects(draft, reading), page.object_list
    context = {"draft": draft, "form": form, "page": page, "only": only, "reading": reading, "effects": effects}
    return {**context, "shown": lambda: as_rows(draft, form, reading, rows, effects.of_rows(rows))}


@for_owner
@require_POST
def save(request, pk):
    draft = get_object_or_404(ImportDraft.objects.of(request.user), pk=pk)
    with acting(request):
        save_list(draft, request.user)
    count = len(draft.saved)
    messages.success(request, ngettext("%(n)d row was saved.", "%(n)d rows were saved.", count) % {"n": count})
    return redirect("catalogue:import_saved", pk)


@for_owner
@require_safe
def saved(request, pk):
    """What came of a list, and the way to take it back."""
    draft = get_object_or_404(ImportDraft.objects.of(request.user), pk=pk, saved_at__isnull=False)
    page = Paginator(draft.saved, PAGE).get_page(request.GET.get("page"))
    context = {"draft": draft, "page": page, "rows": draft.saved_rows(page.object_list)}
    return answer(request, "catalogue/import_saved.html", context)


@for_owner
@require_POST
def undo(request, pk):
    draft = get_object_or_404(ImportDraft.objects.of(request.user), pk=pk)
    with acting(request):
        undo_list(draft, request.user)
    messages.success(request, _("The list was taken back: what it had made is gone, what it had changed is as before."))
    return redirect("catalogue:import_saved", pk)


@for_owner
@require_POST
def forget(request, pk):
    draft = get_object_or_404(ImportDraft.objects.of(request.user), pk=pk)
    with acting(request):
        draft.throw_away(request.user)
    messages.success(request, _("The list was thrown away; nothing of it was saved."))
    return redirect("catalogue:import")


@for_owner
@require_POST
def starter(request):
    """Load the starter catalogue of generic parts; a second time makes nothing twice."""
    with acting(request):
        made = load_starter(request.user)
    words = ngettext("%(n)d generic part was added.", "%(n)d generic parts were added.", made) % {"n": made}
    messages.success(request, words if made else _("Every part of the starter catalogue is here already."))
    return redirect("catalogue:list")
