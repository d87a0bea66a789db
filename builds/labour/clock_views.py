"""Hours: the running clock and the entries."""

from datetime import timedelta

from django.contrib import messages
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.jobs.models import Job
from parts.workshop.access import for_workshop
from parts.workshop.answers import acting, answer
from parts.workshop.middleware import way_back
from parts.workshop.models import AuditEntry, Person

from .durations import clock_text
from .foreseen import outlooks
from .forms import HoursForm, tasks_to_log
from .models import HoursEntry, Task
from .rows import day_sums, history, tasks_to_start


@for_workshop
@require_safe
def clock(request):
    """One hand: what runs, and what can be started with one press."""
    jobs = list(Job.objects.visible_to(request.user).live().filter(paused_because=""))
    seen = outlooks(jobs, request.workshop)
    running = HoursEntry.objects.running_of(request.user)
    mine = list(HoursEntry.objects.filter(person=request.user, ended_at__date=timezone.localdate()))
    if running and not running.is_forgotten:
        mine.append(running)
    recent = HoursEntry.objects.filter(person=request.user).values_list("task", flat=True)[:20]
    context = {
        "running": running,
        "ready": tasks_to_start(seen.values(), running, list(recent)),
        "today": clock_text(sum((entry.length for entry in mine), timedelta())),
    }
    return answer(request, "labour/clock.html", context)


@for_workshop
@require_POST
def clock_start(request, pk):
    """Start my clock on a task; one that runs on another task stops at this moment."""
    task = get_object_or_404(Task.objects.visible_to(request.user).select_related("job"), pk=pk)
    forgotten = HoursEntry.objects.running_of(request.user)
    if forgotten and forgotten.is_forgotten:
        return _ask_for_the_end(request, forgotten)
    with acting(request):
        _entry, stopped = HoursEntry.start(task, request.user)
    if stopped:
        said = _("Stopped “%(old)s” after %(length)s; the clock now runs on “%(new)s”.")
        messages.success(request, said % {"old": stopped.task, "length": clock_text(stopped.length), "new": task.name})
    return redirect(way_back(request))


@for_workshop
@require_POST
def clock_stop(request):
    """Stop my clock."""
    running = HoursEntry.objects.running_of(request.user)
    if running is None:
        messages.info(request, _("No clock is running."))
        return redirect(way_back(request))
    if running.is_forgotten:
        return _ask_for_the_end(request, running)
    with acting(request):
        running.stop(request.user)
    messages.success(
        request, _("%(length)s on “%(task)s”.") % {"length": clock_text(running.length), "task": running.task}
    )
    return redirect(way_back(request))


def _ask_for_the_end(request, entry):
    """A clock that ran overnight: the person knows when the work ended, the tool does not."""
    messages.warning(request, _("This clock has run for over twelve hours. Say when the work really ended."))
    return redirect("labour:hours_edit", entry.pk)


@for_workshop
@require_safe
def hours(request):
    """Logged stretches, newest first; the owner sees everybody's."""
    entries = HoursEntry.objects.visible_to(request.user).select_related("task__job", "person")
    job = Job.objects.visible_to(request.user).filter(number=_number(request.GET.get("job"))).first()
    who = _number(request.GET.get("who"))
    if job:
        entries = entries.filter(task__job=job)
    if who:
        entries = entries.filter(person=who)
    page = Paginator(entries, 50).get_page(request.GET.get("page"))
    people = Person.objects.filter(is_active=True) if request.user.is_owner else []
    context = {"page": page, "days": day_sums(page.object_list), "job": job, "people": people, "who": who}
    return answer(request, "labour/hours.html", context, fragment="labour/_hours.html")


def _number(text):
    digits = (text or "").upper().removeprefix("J-")
    return int(digits) if digits.isdecimal() and len(digits) < 10 else None


@for_workshop
@require_http_methods(["GET", "POST"])
def hours_add(request):
    """Enter a stretch by hand; ?job=J-0042 or ?task=12 says for what."""
    task = Task.objects.visible_to(request.user).filter(pk=_number(request.GET.get("task"))).first()
    job = task.job if task else Job.objects.filter(number=_number(request.GET.get("job"))).first()
    first = {"task": task and task.pk}
    form = HoursForm(request.POST or None, person=request.user, tasks=tasks_to_log(job), initial=first)
    if request.method == "POST" and form.is_valid() and form.keep():
        messages.success(request, _("Hours logged."))
        return redirect("labour:plan", job.number) if job else redirect("labour:hours")
    return answer(request, "labour/hours_form.html", {"form": form, "job": job})


@for_workshop
@require_http_methods(["GET", "POST"])
def hours_edit(request, pk):
    """Correct a stretch: the workshop role its own, the owner every one."""
    mine = HoursEntry.objects.visible_to(request.user).select_related("task__job", "person")
    entry = get_object_or_404(mine, pk=pk)
    form = HoursForm(request.POST or None, person=request.user, entry=entry, tasks=tasks_to_log(entry=entry))
    if request.method == "POST" and form.is_valid() and form.keep():
        messages.success(request, _("Hours corrected."))
        return redirect("labour:hours")
    context = {"form": form, "entry": entry, "job": entry.task.job, "history": history(AuditEntry.of(entry.about))}
    return answer(request, "labour/hours_form.html", context)


@for_workshop
@require_POST
def hours_remove(request, pk):
    entry = get_object_or_404(HoursEntry.objects.visible_to(request.user).select_related("task__job"), pk=pk)
    with acting(request):
        entry.remove(request.user)
    messages.success(request, _("The entry is out; the audit trail keeps what it said."))
    return redirect("labour:hours")
