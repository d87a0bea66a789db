"""Editing a draft on the quote sheet: lines, terms, stage payments, re-work."""

from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_http_methods, require_POST

from parts.workshop.access import for_owner
from parts.workshop.answers import acting

from .forms import LineForm, NewLineForm, ReworkForm, StageForm, TermsForm
from .pages import find_issue, show_sheet
from .views import spec_of, to_issue


def _carried(request, found, act, **form):
    """Carry out what a form asks, or show the sheet with it. form: the one form, by its name on the sheet."""
    ((_name, asked),) = form.items()
    if request.method == "POST" and asked.is_valid() and asked.carry_out(act):
        return to_issue(found)
    return show_sheet(request, found.quote.job, found, **form)


def _done(request, found, act):
    """Do what one button says."""
    with acting(request):
        act()
    return to_issue(found)


@for_owner
@require_http_methods(["GET", "POST"])
def line(request, number, quote, issue, pk):
    """One line opened for change."""
    found = find_issue(request, number, quote, issue)
    row = get_object_or_404(found.lines.select_related("role"), pk=pk)
    row.issue = found
    form = LineForm(request.POST or None, person=request.user, line=row)
    return _carried(request, found, form.change, line_form=form)


@for_owner
@require_POST
def add_line(request, number, quote, issue):
    found = find_issue(request, number, quote, issue)
    form = NewLineForm(request.POST, person=request.user, prefix="new")
    return _carried(request, found, lambda: form.add_to(found), new_line_form=form)


@for_owner
@require_POST
def remove_line(request, number, quote, issue, pk):
    found = find_issue(request, number, quote, issue)
    row = get_object_or_404(found.lines, pk=pk)
    return _done(request, found, lambda: row.remove(request.user))


@for_owner
@require_POST
def lay_again(request, number, quote, issue):
    """Take over the newest spec version, the plan's hours and today's costs."""
    found = find_issue(request, number, quote, issue)
    return _done(request, found, lambda: found.lay_again(spec_of(found.quote.job), request.user))


@for_owner
@require_POST
def terms(request, number, quote, issue):
    """Dates, margin and text blocks."""
    found = find_issue(request, number, quote, issue)
    form = TermsForm(request.POST, person=request.user, issue=found)
    return _carried(request, found, form.change, terms_form=form)


@for_owner
@require_http_methods(["GET", "POST"])
def stage(request, number, quote, issue, pk):
    """One stage payment opened for change."""
    found = find_issue(request, number, quote, issue)
    row = get_object_or_404(found.stage_payments, pk=pk)
    row.issue = found
    form = StageForm(request.POST or None, person=request.user, stage=row)
    return _carried(request, found, lambda: form.put(found), stage_form=form)


@for_owner
@require_POST
def add_stage(request, number, quote, issue):
    found = find_issue(request, number, quote, issue)
    form = StageForm(request.POST, person=request.user, prefix="new-stage")
    return _carried(request, found, lambda: form.put(found), new_stage_form=form)


@for_owner
@require_POST
def remove_stage(request, number, quote, issue, pk):
    found = find_issue(request, number, quote, issue)
    row = get_object_or_404(found.stage_payments, pk=pk)
    return _done(request, found, lambda: row.remove(request.user))


@for_owner
@require_POST
def put_rework(request, number, quote, issue):
    """A finished task that this variation undoes."""
    found = find_issue(request, number, quote, issue)
    form = ReworkForm(request.POST, person=request.user, prefix="again", issue=found)
    return _carried(request, found, lambda: found.put_rework(request.user, **form.typed), rework_form=form)


@for_owner
@require_POST
def drop_rework(request, number, quote, issue, pk):
    found = find_issue(request, number, quote, issue)
    row = get_object_or_404(found.reworks.select_related("task"), pk=pk)
    return _done(request, found, lambda: found.drop_rework(request.user, row))
