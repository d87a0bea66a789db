from django.contrib import messages
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.checks.findings import CAUTION, NOTE, STOP
from builds.checks.models import Waiver
from parts.workshop.access import for_owner, for_workshop
from parts.workshop.answers import acting, answer

from .forms import WaiverForm
from .models import SpecVersion
from .sanity import findings_of
from .sheet import wanted_of
from .views import job_of


@for_workshop
@require_safe
def checks(request, number):
    """Every finding with its rule and source; the waived ones with their reason."""
    job = job_of(request, number)
    spec = SpecVersion.objects.current_for(job)
    findings = findings_of(spec, request.workshop) if spec else []
    waivers = {waiver.fingerprint: waiver for waiver in job.waivers.select_related("person")}
    standing = {finding.fingerprint for finding in findings}
    context = {
        "job": job, "spec": spec, "count": len(findings),
        "groups": _groups([f for f in findings if not f.waived and not f.asks]),
        "wanted": wanted_of(list(spec.lines.all()), findings) if spec else [],
        "waived": [(f, waivers[f.fingerprint]) for f in findings if f.waived],
        "void": [waiver for mark, waiver in waivers.items() if mark not in standing],
    }  # fmt: skip
    return answer(request, "checks/checks.html", context)


def _groups(findings):
    words = {STOP: _("Stops"), CAUTION: _("Cautions"), NOTE: _("Notes")}
    groups = [(weight, word, [f for f in findings if f.severity == weight]) for weight, word in words.items()]
    return [group for group in groups if group[2]]


@for_owner
@require_http_methods(["GET", "POST"])
def waive(request, number, fingerprint):
    """Record why the job goes on despite a finding."""
    job = job_of(request, number)
    spec = SpecVersion.objects.current_for(job)
    findings = findings_of(spec, request.workshop) if spec else []
    finding = next((f for f in findings if f.fingerprint == fingerprint and f.severity != NOTE), None)
    if finding is None:
        raise Http404
    form = WaiverForm(request.POST or None, person=request.user)
    if request.method == "POST" and form.is_valid():
        reason = form.cleaned_data["reason"]
        if form.carry_out(lambda: Waiver.objects.grant(job, finding, reason, by=request.user)):
            messages.success(request, _("Waived; the reason stands in the job's record."))
            return redirect("specs:checks", number)
    return answer(request, "checks/waive.html", {"job": job, "finding": finding, "form": form})


@for_owner
@require_POST
def withdraw(request, number, waiver):
    """Let a finding stand again."""
    job = job_of(request, number)
    waiver = get_object_or_404(Waiver, pk=waiver, job=job)
    with acting(request):
        waiver.withdraw(by=request.user)
    messages.success(request, _("The waiver is withdrawn."))
    return redirect("specs:checks", number)
