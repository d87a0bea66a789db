"""A job's plan: its sheet and the changes of its tasks."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.jobs.models import Job
from builds.sheets.render import render_pdf
from builds.specs.models import SpecVersion
from parts.workshop.access import for_owner, for_workshop
from parts.workshop.answers import acting, answer
from parts.workshop.middleware import way_back

from .card import card_of
from .days import said
from .foreseen import outlooks, planned_steps
from .forms import LayOutForm, TaskForm
from .models import HoursEntry, Task
from .outlook import job_tally
from .pictures import hours_bars, job_ribbon
from .plan import lay_out
from .readiness import task_states
from .rows import basis_text, plan_rows, tally_text
from .seeding import usual_pattern


def _job(request, number):
    return get_object_or_404(Job.objects.visible_to(request.user).select_related("client"), number=number)


def _task(request, pk):
    return get_object_or_404(Task.objects.visible_to(request.user).select_related("job"), pk=pk)


@for_workshop
@require_safe
def plan(request, number):
    """The plan's sheet: every task in order with its state, its hours and what it waits for."""
    job = _job(request, number)
    states = task_states([job])[job.pk]
    running = HoursEntry.objects.running_of(request.user)
    context = {"job": job, "total": tally_text(job_tally(states))}
    context["bars"] = hours_bars(states) if states else ""
    own = job.tasks.own_estimates()
    context["own"] = len(own)
    planned = {}
    if job.is_live:
        outlook = outlooks([job], request.workshop)[job.pk]
        forecast = outlook.forecast
        planned = planned_steps(job)
        context["ribbon"] = job_ribbon(outlook, timezone.localdate())
        context["forecast"] = {"day": said(forecast.day), "why": forecast.why, "odds": forecast.odds}
    context["rows"] = plan_rows(states, running, planned, own)
    if request.user.is_owner and job.is_live:
        context |= {"spec": SpecVersion.objects.current_for(job), "form": LayOutForm(person=request.user)}
        context["arrange"] = "arrange" in request.GET
    return answer(request, "labour/plan.html", context)


@for_workshop
@require_safe
def card(request, number):
    """The job card to print for the bench."""
    job = _job(request, number)
    pdf = render_pdf("sheets/job_card.html", card_of(job, request.workshop, timezone.localdate()))
    headers = {"Content-Disposition": f'inline; filename="job-card-{job}.pdf"'}
    return HttpResponse(pdf, "application/pdf", headers=headers)


@for_owner
@require_POST
def lay_out_plan(request, number):
    """Make the plan from a pattern, or add to it what a newer spec brings."""
    job = get_object_or_404(Job.objects.visible_to(request.user).live(), number=number)
    spec = SpecVersion.objects.current_for(job)
    if spec is None:
        messages.error(request, _("There is no spec yet. Put parts into the spec first; the plan's hours follow it."))
        return redirect("labour:plan", number)
    form = LayOutForm(request.POST, person=request.user)
    if "pattern" not in request.POST:
        form.fields["pattern"].required = False
    if form.is_valid() and form.carry_out(
        lambda: lay_out(job, spec, form.cleaned_data["pattern"] or usual_pattern(request.user), request.user)
    ):
        new = len(form.result or [])
        said = ngettext("%(new)s task added.", "%(new)s tasks added.", new) if new else _("Nothing was missing.")
        messages.success(request, said % {"new": new})
    else:
        messages.error(request, _("Choose a pattern from the list."))
    return redirect("labour:plan", number)


@for_owner
@require_http_methods(["GET", "POST"])
def task_add(request, number):
    job = get_object_or_404(Job.objects.visible_to(request.user).live(), number=number)
    return _edit(request, Task(job=job))


@for_owner
@require_http_methods(["GET", "POST"])
def task_edit(request, pk):
    return _edit(request, _task(request, pk))


def _edit(request, task):
    form = TaskForm(request.POST or None, instance=task, person=request.user)
    if request.method == "POST" and form.is_valid() and form.keep():
        messages.success(request, _("The plan is changed."))
        return redirect("labour:plan", task.job.number)
    context = {"form": form, "job": task.job, "task": task if task.pk else None}
    if task.pk:
        context["basis"] = basis_text(Task.objects.filter(pk=task.pk).own_estimates().get(task.pk))
    return render(request, "labour/task.html", context)


@for_owner
@require_POST
def task_remove(request, pk):
    task = _task(request, pk)
    with acting(request):
        task.remove(request.user)
    messages.success(request, _("“%(task)s” is out of the plan.") % {"task": task.name})
    return redirect("labour:plan", task.job.number)


@for_owner
@require_POST
def task_move(request, pk, way):
    task = _task(request, pk)
    with acting(request):
        task.shift(request.user, up=way == "up")
    return redirect(f"{reverse('labour:plan', args=[task.job.number])}?arrange=1")


@for_workshop
@require_POST
def task_done(request, pk):
    """Mark a task done."""
    task = _task(request, pk)
    with acting(request):
        task.finish(request.user)
    messages.success(request, _("“%(task)s” is done.") % {"task": task.name})
    return redirect(way_back(request))


@for_workshop
@require_POST
def task_undo(request, pk):
    """Take the mark back."""
    task = _task(request, pk)
    with acting(request):
        task.reopen(request.user)
    return redirect(way_back(request))
