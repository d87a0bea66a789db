"""The quote sheet and the life of an issue: draft, send, accept, decline, PDF."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.specs.models import SpecVersion
from parts.workshop.access import for_owner
from parts.workshop.answers import acting
from parts.workshop.refusal import Refused
from parts.workshop.tables import as_file

from . import letters, paper
from .forms import AcceptForm, DeclineForm, DraftForm, SendForm
from .mail_views import say_whether_it_went
from .models import Issue, Quote
from .money_list import line_rows, safe_rows
from .pages import find_issue, find_job, show_sheet


def to_issue(issue):
    return redirect("quotes:issue", issue.quote.job.number, issue.quote.number, issue.number)


def spec_of(job):
    """The spec version being worked on; Refused where there is none."""
    spec = SpecVersion.objects.current_for(job)
    if spec is None:
        raise Refused(_("%(job)s has no spec yet; put the parts in first.") % {"job": job})
    return spec


@for_owner
@require_safe
def sheet(request, number):
    """The quote sheet of a job, its newest issue open."""
    job = find_job(request, number)
    newest = Issue.objects.visible_to(request.user).filter(quote__job=job).order_by("-quote__number", "-number").first()
    return show_sheet(request, job, find_issue(request, number, newest.quote.number, newest.number) if newest else None)


@for_owner
@require_safe
def issue(request, number, quote, issue):
    """The quote sheet with one issue open."""
    found = find_issue(request, number, quote, issue)
    return show_sheet(request, found.quote.job, found)


@for_owner
@require_POST
def draft(request, number):
    """Draft the next issue of the job's quote from its present spec."""
    job = find_job(request, number)
    form = DraftForm(request.POST, person=request.user, job=job)
    if form.is_valid():
        pattern = form.cleaned_data.get("pattern")
        if form.carry_out(lambda: Quote.draft(job, spec_of(job), request.user, pattern)):
            return redirect("quotes:sheet", number)
    return show_sheet(request, job, None, draft_form=form)


@for_owner
@require_POST
def vary(request, number):
    """Raise a variation from the newest spec version."""
    job = find_job(request, number)
    with acting(request):
        made = Quote.vary(job, spec_of(job), request.user)
    return to_issue(made)


@for_owner
@require_POST
def send(request, number, quote, issue):
    found = find_issue(request, number, quote, issue)
    form = SendForm(request.POST, person=request.user, subject=found, email=found.quote.job.client.email)
    if form.is_valid() and form.carry_out(lambda: found.send(request.user) or found):
        messages.success(
            request, _("%(issue)s is sent and frozen. Its PDF is ready for the client.") % {"issue": found}
        )
        if form.wants_mail:
            say_whether_it_went(request, letters.offered(found, request.user), found.quote.job.client)
        return to_issue(found)
    return show_sheet(request, found.quote.job, found, send_form=form)


@for_owner
@require_POST
def accept(request, number, quote, issue):
    """Record the client's acceptance."""
    found = find_issue(request, number, quote, issue)
    form = AcceptForm(request.POST, person=request.user)
    if form.is_valid() and form.carry_out(lambda: found.accept(request.user, form.cleaned_data["name"])):
        messages.success(request, _("%(issue)s is agreed.") % {"issue": found})
        return to_issue(found)
    return show_sheet(request, found.quote.job, found, accept_form=form)


@for_owner
@require_POST
def decline(request, number, quote, issue):
    """Record that the client said no."""
    found = find_issue(request, number, quote, issue)
    form = DeclineForm(request.POST, person=request.user)
    if form.is_valid() and form.carry_out(lambda: found.decline(request.user, form.cleaned_data["reason"])):
        return to_issue(found)
    return show_sheet(request, found.quote.job, found, decline_form=form)


@for_owner
@require_POST
def discard(request, number, quote, issue):
    """Throw a draft away."""
    found = find_issue(request, number, quote, issue)
    with acting(request):
        found.discard(request.user)
    messages.success(request, _("The draft is thrown away."))
    return redirect("quotes:sheet", number)


@for_owner
@require_http_methods(["GET", "HEAD"])
def pdf(request, number, quote, issue):
    """The frozen PDF of a sent issue, or a draft's as it would look, marked as a draft."""
    found = find_issue(request, number, quote, issue)
    made = found.document.read() if found.document else paper.pdf(found, found.figures())
    name = f"{found.quote}-{found.number}{'-draft' if found.is_draft else ''}.pdf"
    return HttpResponse(
        made, content_type="application/pdf", headers={"Content-Disposition": f'inline; filename="{name}"'}
    )


@for_owner
@require_safe
def lines_file(request, number, quote, issue, form):
    """An issue's lines and sums as its paper has them, for a spreadsheet."""
    found = find_issue(request, number, quote, issue)
    name = f"{found.quote}-{found.number}{'-draft' if found.is_draft else ''}"
    return as_file(form, safe_rows(line_rows(found, found.figures())), name, name, name_column=2)
