from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST

from parts.workshop.access import for_owner
from parts.workshop.answers import acting, answer
from parts.workshop.refusal import Refused

from .counts import take_counts
from .loops import Loop
from .models import SpecVersion
from .run_forms import FillingForm, RunsForm
from .views import job_of


@for_owner
@require_http_methods(["GET", "POST"])
def runs(request, number, loop):
    """The runs of tube of one loop: length, bends, fittings, ports."""
    job = job_of(request, number)
    loop = get_object_or_404(Loop.objects.select_related("spec"), pk=loop, spec__job=job)
    form = RunsForm(request.POST or None, person=request.user, subject=loop.spec,
                    pairs=loop.runs.between(loop.ordered()))  # fmt: skip
    if request.method == "POST" and form.is_valid():
        if form.carry_out(lambda: _measure(job, loop, form.values(), request.user)):
            return redirect("specs:order", number)
    return answer(request, "specs/runs.html", {"job": job, "loop": loop, "form": form})


def _measure(job, loop, said, by):
    """Note the runs in this loop, or in what carries it on in the next version."""
    twin = SpecVersion.objects.for_change(job, by).twin_of(loop)
    there = {step.line.role_id: step for step in twin.ordered()}
    try:
        rows = {tuple(there[step.line.role_id] for step in pair): row for pair, row in said.items()}
    except KeyError:
        raise Refused(_("The loop's order has changed; open its runs anew.")) from None
    twin.measure(rows, by)


@for_owner
@require_http_methods(["GET", "POST"])
def filling(request, number, loop):
    """Where one loop is highest and lowest, filled and drained."""
    job = job_of(request, number)
    loop = get_object_or_404(Loop.objects.select_related("spec"), pk=loop, spec__job=job)
    form = FillingForm(request.POST or None, person=request.user, subject=loop.spec, loop=loop)
    if request.method == "POST" and form.is_valid():
        if form.carry_out(lambda: _mark(job, loop, form.values(), request.user)):
            return redirect("specs:order", number)
    return answer(request, "specs/filling.html", {"job": job, "loop": loop, "form": form})


def _mark(job, loop, roles, by):
    """Note the points in this loop, or in what carries it on in the next version."""
    twin = SpecVersion.objects.for_change(job, by).twin_of(loop)
    there = {step.line.role_id: step for step in twin.ordered()}
    twin.mark(by, **{name: there.get(role) for name, role in roles.items()})


@for_owner
@require_POST
def count(request, number):
    """Put the take-off's quantities into the spec's lines."""
    job = job_of(request, number)
    with acting(request):
        changed = take_counts(SpecVersion.objects.for_change(job, request.user), request.user)
    said = ngettext("%(n)d quantity taken over.", "%(n)d quantities taken over.", len(changed)) % {"n": len(changed)}
    messages.success(request, said if changed else _("The spec has these quantities already."))
    return redirect("specs:spec", number)
