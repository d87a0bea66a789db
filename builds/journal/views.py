"""The journal's sheet of a job."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from builds.jobs.models import Job
from parts.workshop.access import for_owner, for_workshop
from parts.workshop.answers import acting, answer

from .forms import ConsentForm, EntryForm
from .models import JournalEntry


@for_workshop
@require_http_methods(["GET", "POST"])
def journal(request, number):
    """All entries, the newest first, and room for the next one; closed jobs keep theirs open."""
    job = get_object_or_404(Job.objects.visible_to(request.user).select_related("client"), number=number)
    form = EntryForm(request.POST or None, request.FILES or None, person=request.user, job=job)
    if request.method == "POST" and form.is_valid() and form.keep():
        messages.success(request, _("Written down, for the workshop alone until you share it."))
        return redirect("journal:sheet", number)
    entries = job.journal.visible_to(request.user).select_related("task", "person").prefetch_related("photos")
    page = Paginator(entries, 30).get_page(request.GET.get("page"))
    return answer(request, "journal/sheet.html", {"job": job, "form": form, "page": page})


def _entry(request, pk):
    return get_object_or_404(JournalEntry.objects.visible_to(request.user).select_related("job__client"), pk=pk)


@for_workshop
@require_http_methods(["GET", "POST"])
def edit(request, pk):
    """Correct an entry or add a photo to it."""
    entry = _entry(request, pk)
    form = EntryForm(request.POST or None, request.FILES or None, person=request.user, job=entry.job, entry=entry)
    if request.method == "POST" and form.is_valid() and form.keep():
        return redirect("journal:sheet", entry.job.number)
    return answer(request, "journal/entry.html", {"job": entry.job, "entry": entry, "form": form})


@for_owner
@require_POST
def share(request, pk):
    """Show an entry on the client's page."""
    entry = _entry(request, pk)
    with acting(request):
        entry.share(request.user)
    messages.success(request, _("The client's page now shows it."))
    return redirect("journal:sheet", entry.job.number)


@for_owner
@require_POST
def take_back(request, pk):
    """Make an entry private again."""
    entry = _entry(request, pk)
    with acting(request):
        entry.take_back(request.user)
    messages.success(request, _("It is for the workshop alone again."))
    return redirect("journal:sheet", entry.job.number)


@for_owner
@require_http_methods(["GET", "POST"])
def consent(request, pk):
    """Note the client's consent to publish an entry."""
    entry = _entry(request, pk)
    form = ConsentForm(request.POST or None, person=request.user, entry=entry)
    if request.method == "POST" and form.is_valid() and form.keep() is not False and not form.errors:
        messages.success(request, _("The consent is noted."))
        return redirect("journal:sheet", entry.job.number)
    return answer(request, "journal/entry.html", {"job": entry.job, "entry": entry, "form": form, "consent": True})
