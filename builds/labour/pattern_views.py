"""The workshop's own plan patterns: the owner's."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from parts.workshop.access import for_owner
from parts.workshop.answers import acting, answer

from .estimates import learnt
from .models import Task
from .pattern_forms import PatternForm, PatternStepForm
from .patterns import PatternTask, PlanPattern


@for_owner
@require_safe
def pattern(request, pk):
    """A pattern's steps, each with what the workshop's own hours teach of it."""
    found = get_object_or_404(PlanPattern, pk=pk)
    own = Task.objects.own_hours(found)
    steps = found.tasks.select_related("work_kind").prefetch_related("after")
    rows = [{"step": step, "own": learnt(own.get(step.pk))} for step in steps]
    return answer(request, "labour/pattern.html", {"pattern": found, "rows": rows})


@for_owner
@require_http_methods(["GET", "POST"])
def pattern_edit(request, pk=None):
    """A new pattern, or another name for one."""
    found = get_object_or_404(PlanPattern, pk=pk) if pk else None
    form = PatternForm(request.POST or None, instance=found, person=request.user)
    if request.method == "POST" and form.is_valid() and form.store():
        return redirect("labour:pattern", form.instance.pk) if form.instance.pk else redirect("labour:rates")
    return answer(request, "labour/pattern_form.html", {"form": form, "pattern": found})


@for_owner
@require_http_methods(["GET", "POST"])
def step_add(request, pk):
    return _edit(request, PatternTask(pattern=get_object_or_404(PlanPattern, pk=pk)))


@for_owner
@require_http_methods(["GET", "POST"])
def step_edit(request, pk):
    return _edit(request, get_object_or_404(PatternTask.objects.select_related("pattern"), pk=pk))


def _edit(request, step):
    form = PatternStepForm(request.POST or None, instance=step, person=request.user)
    if request.method == "POST" and form.is_valid() and form.keep():
        messages.success(request, _("The pattern is changed; plans laid out before keep their hours."))
        return redirect("labour:pattern", step.pattern_id)
    context = {"form": form, "pattern": step.pattern, "step": step if step.pk else None}
    return answer(request, "labour/pattern_form.html", context)


@for_owner
@require_POST
def step_remove(request, pk):
    step = get_object_or_404(PatternTask.objects.select_related("pattern"), pk=pk)
    with acting(request):
        step.remove(request.user)
    messages.success(request, _("“%(step)s” is out of the pattern.") % {"step": step.name})
    return redirect("labour:pattern", step.pattern_id)
