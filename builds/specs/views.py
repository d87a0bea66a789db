from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.jobs.models import Job
from parts.catalogue.models import Part
from parts.catalogue.query import read_query
from parts.workshop.access import for_owner
from parts.workshop.answers import acting, answer

from .candidates import COUNTED, candidates
from .costs import costs_for_parts
from .difference import compared
from .forms import AddRoleForm, LineForm
from .gather import with_everything
from .models import Role, SpecVersion
from .roles import SUGGESTED
from .sheet import sheet_of


def job_of(request, number):
    """A live or ended job with its client, as this person may see it."""
    return get_object_or_404(Job.objects.visible_to(request.user).select_related("client"), number=number)


@for_owner
@require_http_methods(["GET", "POST"])
def spec(request, number):
    """The spec: roles as rows; a POST adds a role and goes on to choose its part."""
    job = job_of(request, number)
    current = SpecVersion.objects.current_for(job)
    form = AddRoleForm(request.POST or None, person=request.user, subject=current)
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data
        if form.carry_out(lambda: _changing(job, request).add_role(said["kind"], said["name"], request.user)):
            return redirect("specs:role", number, form.result.pk) if form.result else redirect("specs:spec", number)
    return _sheet(request, job, form)


def _sheet(request, job, form=None):
    """The spec page, or the piece of it that changed."""
    sheet = sheet_of(job, request.workshop)
    form = form or AddRoleForm(person=request.user, subject=sheet["spec"])
    context = {
        "job": job,
        "form": form,
        "role_names": [name for names in SUGGESTED.values() for name in names],
        **sheet,
    }
    return answer(request, "specs/spec.html", context, fragment="specs/_sheet.html")


def _changed(request, job):
    """After a button: the changed piece for HTMX, else back to the page."""
    return _sheet(request, job) if request.htmx else redirect("specs:spec", job.number)


def _changing(job, request):
    return SpecVersion.objects.for_change(job, request.user)


@for_owner
@require_http_methods(["GET", "POST"])
def role(request, number, role):
    """One role: its part's quantity and remark, and the parts of the catalogue that could take it."""
    job = job_of(request, number)
    role = get_object_or_404(Role, pk=role, job=job)
    current = get_object_or_404(SpecVersion.objects.filter(job=job).order_by("-number")[:1])
    line = current.line_of(role)
    form = LineForm(request.POST or None, person=request.user, subject=current, role=role, line=line)
    if request.method == "POST" and form.is_valid():
        if form.carry_out(lambda: _changing(job, request).set_line(role, by=request.user, **form.values())):
            return redirect("specs:spec", number)
    words = request.GET.get("q", "")
    found, count = candidates(current, role, words)
    prices = costs_for_parts([one.part for one in found], request.workshop.currency)
    context = {"job": job, "role": role, "line": line, "form": form, "count": count, "counted": COUNTED,
               "q": words, "asked": read_query(words, role.kind),
               "found": [(one, prices.get(one.part.pk)) for one in found], "spec": current}  # fmt: skip
    return answer(request, "specs/role.html", context, fragment="specs/_candidates.html")


@for_owner
@require_POST
def choose(request, number, role):
    """Put a part into the role."""
    job = job_of(request, number)
    role = get_object_or_404(Role, pk=role, job=job)
    part = get_object_or_404(Part, pk=request.POST.get("part") if request.POST.get("part", "").isdigit() else 0)
    with acting(request):
        _changing(job, request).put(role, part, request.user)
    messages.success(request, _("%(part)s is the %(role)s now.") % {"part": part, "role": role})
    return redirect("specs:spec", number) if part.unit == "each" else redirect("specs:role", number, role.pk)


@for_owner
@require_POST
def move(request, number, role):
    job = job_of(request, number)
    role = get_object_or_404(Role, pk=role, job=job)
    current = get_object_or_404(SpecVersion.objects.filter(job=job).order_by("-number")[:1])
    with acting(request):
        current.move(role, request.user, up=request.POST.get("way") == "up")
    return _changed(request, job)


@for_owner
@require_POST
def remove(request, number, role):
    """Take a role out of the newest version."""
    job = job_of(request, number)
    role = get_object_or_404(Role, pk=role, job=job)
    with acting(request):
        _changing(job, request).take_out(role, request.user)
    return _changed(request, job)


@for_owner
@require_safe
def version(request, number, version):
    """An older version as it stood, and what changed from it to another one."""
    job = job_of(request, number)
    old = get_object_or_404(SpecVersion, job=job, number=version)
    against = request.GET.get("against", "")
    other = SpecVersion.objects.filter(job=job, number=against).first() if against.isdigit() else None
    context = {"job": job, "other": other, **sheet_of(job, request.workshop, old)}
    if other:
        with_everything([other])
        context["changes"] = compared(old, other)
    return answer(request, "specs/version.html", context)
