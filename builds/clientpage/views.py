"""The client's page: read, accept, follow. The link is the key; there is no account and no tracking."""

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from builds.handover.calendar import calendar_of
from builds.journal.models import EntryPhoto
from builds.quotes import letters

from .contents import contents_of, dates_of, issues_of, said_of
from .door import by_link
from .forms import NoForm, YesForm
from .models import Opening


def show(request, link, status=200, **extra):
    """The page; extra: `asked`, the issue just answered, with its `yes` or `no` form."""
    found = contents_of(link.job)
    asked = extra.get("asked")
    for issue in found.pending:
        mine = asked and asked.pk == issue.pk
        issue.yes = extra.get("yes") if mine and "yes" in extra else _form(YesForm, issue)
        issue.no = extra.get("no") if mine and "no" in extra else _form(NoForm, issue)
    answered = next((issue for issue in [*found.agreed, *found.past] if asked and issue.pk == asked.pk), None)
    context = {"link": link, "job": link.job, "found": found, "said": said_of(answered) if answered else ""}
    return render(request, "clientpage/page.html", context, status=status)


def _form(kind, issue, data=None):
    return kind(data, person=None, auto_id=f"{kind.__name__.lower()}{issue.pk}_%s")


@by_link
@require_safe
def page(request, link):
    Opening.objects.create(link=link, address=link.whence, browser=request.META.get("HTTP_USER_AGENT", "")[:160])
    return show(request, link)


def find(link, quote, issue):
    """An issue the client was sent, of this job and no other."""
    found = get_object_or_404(issues_of(link.job).select_related("spec"), quote__number=quote, number=issue)
    found.quote.job = link.job
    return found


def _pdf(document):
    if document is None:
        raise Http404
    headers = {"Content-Disposition": f'inline; filename="{document.file_name}"'}
    return HttpResponse(document.read(), content_type="application/pdf", headers=headers)


@by_link
@require_safe
def paper(request, link, quote, issue):
    """The frozen PDF of an issue."""
    return _pdf(find(link, quote, issue).document)


@by_link
@require_safe
def bill(request, link, bill):
    """A frozen bill."""
    return _pdf(get_object_or_404(link.job.bills.select_related("document"), number=bill).document)


@by_link
@require_safe
def pack(request, link):
    """The hand-over pack."""
    made = getattr(link.job, "pack", None)
    return _pdf(made and made.document)


@by_link
@require_safe
def photo(request, link, pk, small=False):
    """A photo of a journal entry that is shared with the client."""
    shown = EntryPhoto.objects.filter(entry__in=link.job.journal.shared()).select_related("photo")
    found = get_object_or_404(shown, pk=pk)
    headers = {"Cache-Control": "private, no-store", "Content-Disposition": "inline"}
    return HttpResponse(found.photo.read(small), content_type="image/jpeg", headers=headers)


@by_link
@require_POST
def accept(request, link, quote, issue):
    """The client accepts: once, whoever else does so at the same moment."""
    found = find(link, quote, issue)
    form = _form(YesForm, found, request.POST)

    def act():
        found.accept(None, form.cleaned_data["name"], link.whence)
        return found

    if form.is_valid() and form.carry_out(act):
        if form.result:
            letters.accepted(found)
        return redirect("clientpage:page", link.token)
    found.refresh_from_db(fields=["state"])
    return show(request, link, status=409 if found.standing != found.State.SENT else 422, asked=found, yes=form)


@by_link
@require_POST
def decline(request, link, quote, issue):
    """The client says no; nothing else moves."""
    found = find(link, quote, issue)
    form = _form(NoForm, found, request.POST)
    name = link.job.client.name
    if form.is_valid() and form.carry_out(lambda: found.decline(None, form.cleaned_data["reason"], name, link.whence)):
        return redirect("clientpage:page", link.token)
    found.refresh_from_db(fields=["state"])
    return show(request, link, status=409, asked=found, no=form)


@by_link
@require_safe
def calendar(request, link):
    """Promise, payments and care dates for the client's own calendar."""
    made = calendar_of(dates_of(link.job), link.job.title)
    headers = {"Content-Disposition": f'attachment; filename="{link.job}.ics"'}
    return HttpResponse(made, content_type="text/calendar; charset=utf-8", headers=headers)
