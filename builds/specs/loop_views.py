from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.checks.heat import operating
from builds.checks.loop_model import at
from builds.sheets.render import render_pdf
from parts.workshop.access import for_owner, for_workshop
from parts.workshop.answers import acting, answer

from .dials import DialForm, dials_of
from .forms import AddLoopForm, LoopForm, StepForm
from .gather import facts_of
from .loop_page import loop_view
from .loop_sheet import on_paper, sheet_facts
from .loops import USUAL, Loop
from .models import Role, SpecVersion
from .views import job_of


@for_workshop
@require_safe
def loop(request, number):
    """The loops at work: drawing, figures, findings, plots, assumptions; the dials show other rooms and speeds."""
    job = job_of(request, number)
    return answer(request, "specs/loop.html", _shown(request, job), fragment="specs/_loop.html")


@for_workshop
@require_safe
def loop_pdf(request, number):
    """The same on paper, as the dials stand."""
    job = job_of(request, number)
    context = {**_shown(request, job), **sheet_facts(job, request.workshop)}
    if not context["has_loop"]:
        return redirect("specs:loop", number)
    headers = {"Content-Disposition": f'inline; filename="loop-{job}.pdf"'}
    return HttpResponse(render_pdf("sheets/loop.html", on_paper(context)), "application/pdf", headers=headers)


def _shown(request, job):
    """What page and paper show of a job's newest loops at the dials' settings."""
    spec = SpecVersion.objects.current_for(job)
    build = facts_of(spec, request.workshop) if spec else None
    if build is None or not any(loop.steps for loop in build.loops):
        return {"job": job, "spec": spec, "loops": [], "has_loop": False}
    dials = DialForm(request.GET or None, dials_of(build))
    turned, estimate = dials.turned()
    shown = at(build, **turned)
    loops = [loop_view(shown, operating(shown, one), dials.limit) for one in shown.loops if one.steps]
    return {"job": job, "spec": spec, "dials": dials, "turned": turned, "estimate": estimate, "loops": loops,
            "has_loop": True, "query": request.GET.urlencode(), "taught": bool(build.prior)}  # fmt: skip


@for_owner
@require_http_methods(["GET", "POST"])
def order(request, number):
    """Every loop's order; a POST adds a loop."""
    job = job_of(request, number)
    current = SpecVersion.objects.current_for(job)
    form = AddLoopForm(request.POST or None, person=request.user, subject=current)
    if request.method == "POST" and form.is_valid():
        name = form.cleaned_data["name"]
        if form.carry_out(lambda: SpecVersion.objects.for_change(job, request.user).add_loop(request.user, name)):
            return redirect("specs:order", number)
    return _order(request, job, form)


def _order(request, job, form=None):
    current = SpecVersion.objects.current_for(job)
    form = form or AddLoopForm(person=request.user, subject=current)
    loops = list(current.loops.all()) if current else []
    steps = [(one, one.ordered()) for one in loops]
    placed = {step.line_id for _loop, order in steps for step in order}
    lines = current.lines.filter(role__kind__in=USUAL).select_related("role", "part") if current else []
    context = {"job": job, "spec": current, "loops": steps, "form": form,
               "left": [line for line in lines if line.pk not in placed]}  # fmt: skip
    return answer(request, "specs/order.html", context, fragment="specs/_order.html")


def _ordered(request, job):
    """After a button: the changed piece for HTMX, else back to the page."""
    return _order(request, job) if request.htmx else redirect("specs:order", job.number)


def _changing(request, job, loop):
    """The loop to change: this one, or what carries it on in the next version."""
    loop = get_object_or_404(Loop, pk=loop, spec__job=job)
    return SpecVersion.objects.for_change(job, request.user).twin_of(loop)


@for_owner
@require_http_methods(["GET", "POST"])
def loop_facts(request, number, loop):
    """What tubes and case add to one loop."""
    job = job_of(request, number)
    loop = get_object_or_404(Loop.objects.select_related("spec"), pk=loop, spec__job=job)
    form = LoopForm(request.POST or None, person=request.user, subject=loop.spec, loop=loop)
    if request.method == "POST" and form.is_valid():
        if form.carry_out(lambda: _changing(request, job, loop.pk).alter(request.user, **form.values())):
            return redirect("specs:order", number)
    return answer(request, "specs/loop_facts.html", {"job": job, "loop": loop, "form": form})


@for_owner
@require_POST
def usual(request, number, loop):
    """Append what is in no loop yet, in the usual order."""
    job = job_of(request, number)
    with acting(request):
        _changing(request, job, loop).lay_as_usual(request.user)
    return _ordered(request, job)


@for_owner
@require_POST
def remove_loop(request, number, loop):
    job = job_of(request, number)
    with acting(request):
        _changing(request, job, loop).dissolve(request.user)
    return _ordered(request, job)


@for_owner
@require_POST
def add(request, number, loop):
    """Put a component at the end of the order."""
    job = job_of(request, number)
    chosen = request.POST.get("role", "")
    role = get_object_or_404(Role, pk=chosen if chosen.isdigit() else 0, job=job)
    with acting(request):
        twin = _changing(request, job, loop)
        twin.add(get_object_or_404(twin.spec.lines.select_related("role"), role=role), request.user)
    return _ordered(request, job)


@for_owner
@require_http_methods(["GET", "POST"])
def step(request, number, loop, role):
    """How one component is run."""
    job = job_of(request, number)
    loop = get_object_or_404(Loop.objects.select_related("spec"), pk=loop, spec__job=job)
    role = get_object_or_404(Role, pk=role, job=job)
    found = loop.step_of(role)
    form = StepForm(request.POST or None, person=request.user, subject=loop.spec, step=found)
    if request.method == "POST" and form.is_valid():
        change = lambda: _changing(request, job, loop.pk).step_of(role).alter(request.user, **form.values())  # noqa: E731
        if form.carry_out(change):
            return redirect("specs:order", number)
    return answer(request, "specs/step.html", {"job": job, "loop": loop, "step": found, "form": form})


@for_owner
@require_POST
def move(request, number, loop, role):
    job = job_of(request, number)
    role = get_object_or_404(Role, pk=role, job=job)
    with acting(request):
        twin = _changing(request, job, loop)
        twin.move(twin.step_of(role), request.user, up=request.POST.get("way") == "up")
    return _ordered(request, job)


@for_owner
@require_POST
def remove(request, number, loop, role):
    job = job_of(request, number)
    role = get_object_or_404(Role, pk=role, job=job)
    with acting(request):
        twin = _changing(request, job, loop)
        twin.take_out(twin.step_of(role), request.user)
    return _ordered(request, job)
