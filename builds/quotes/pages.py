"""What the quote and money sheets show: one context for a page and its HTMX piece."""

from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _

from builds.jobs.models import Job
from builds.specs.models import SpecVersion
from parts.workshop.answers import answer
from parts.workshop.refusal import Refused

from .forms import AcceptForm, DeclineForm, DraftForm, NewLineForm, ReworkForm, SendForm, StageForm, TermsForm
from .models import Issue


def find_job(request, number):
    return get_object_or_404(Job.objects.visible_to(request.user).select_related("client"), number=number)


def find_issue(request, number, quote, issue):
    """An issue by the numbers in its address, with its job, client, spec and document."""
    issues = Issue.objects.visible_to(request.user).select_related(
        "quote__job__client", "quote__alters__spec", "quote__alters__quote", "spec", "document"
    )
    return get_object_or_404(issues, quote__job__number=number, quote__number=quote, number=issue)


def next_step(issue):
    """What to do with an issue now, in one sentence."""
    state = issue.State
    return {
        state.DRAFTED: _("Check lines, dates and stage payments, then send it."),
        state.SENT: _("Waits for the client’s answer; record it here."),
        state.ACCEPTED: _("Agreed. Order its parts, bill its stage payments."),
        state.DECLINED: _("Declined. Make a new issue, or close the job."),
        state.LAPSED: _("Its validity has passed. Make a new issue."),
        state.SUPERSEDED: _("Something else was agreed since. Make its change again on the spec, and raise it anew.")
        if issue.is_variation
        else _("A later agreement or issue has taken its place."),
    }[issue.standing]


def show_sheet(request, job, issue, **forms):
    """The quote sheet with one issue open; `forms` brings forms that were not accepted, by name."""
    issues = list(
        Issue.objects.visible_to(request.user)
        .filter(quote__job=job)
        .select_related("quote__alters__quote", "spec")
        .order_by("-quote__number", "-number")
    )
    spec = SpecVersion.objects.current_for(job)
    context = {"job": job, "issues": issues, "issue": issue, "spec": spec, **_openings(issues, spec)}
    if context["can_draft"]:
        context["draft_form"] = DraftForm(person=request.user, job=job)
    if issue:
        context |= _of_issue(request, issue, spec, forms)
    return answer(request, "quotes/sheet.html", context | forms, fragment="quotes/_answer.html")


def _openings(issues, spec):
    """Whether a next issue or a variation can be drafted now."""
    states = Issue.State
    accepted = [i for i in issues if i.state == states.ACCEPTED]
    agreed = max(accepted, key=lambda i: (i.decided_at, i.pk), default=None)
    drafted = [i for i in issues if i.state == states.DRAFTED]
    return {
        "agreed": agreed,
        "can_draft": spec is not None and not agreed and not drafted,
        "can_vary": bool(agreed and not drafted and spec and spec.number > agreed.spec.number),
    }


def _of_issue(request, issue, spec, forms):
    """The open issue's part of the context: figures, and the forms its state has use for."""
    try:
        figures, refused = issue.figures(), ""
    except Refused as said:
        figures, refused = None, said.message
    context = {"figures": figures, "refused": refused, "step": next_step(issue), "effects": issue.effects()}
    if issue.is_draft and issue.is_variation:
        context["reworks"] = issue.reworks.select_related("task")
        context["rework_form"] = ReworkForm(person=request.user, prefix="again", issue=issue)
    if issue.is_draft:
        context["obstacles"] = issue.obstacles(figures) if figures else [refused]
        context["newer_spec"] = spec if spec and spec.number > issue.spec.number else None
        if "terms_form" not in forms:
            context["terms_form"] = TermsForm(person=request.user, issue=issue)
        context["new_line_form"] = NewLineForm(person=request.user, prefix="new")
        context["new_stage_form"] = StageForm(person=request.user, prefix="new-stage")
        context["send_form"] = SendForm(person=request.user, subject=issue, email=issue.quote.job.client.email)
    elif issue.standing == issue.State.SENT:
        context["accept_form"] = AcceptForm(person=request.user)
        context["decline_form"] = DeclineForm(person=request.user)
    if not issue.is_draft:  # somebody sent it, or it is decided: say so where the form would have stood
        context["closed_forms"] = [form for name, form in forms.items() if name not in {"accept_form", "decline_form"}]
    return context
