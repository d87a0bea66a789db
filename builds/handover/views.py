from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from builds.jobs.models import Job
from builds.labour.models import Task
from builds.proving.models import Gate
from builds.sheets.render import render_pdf
from parts.workshop.access import for_owner
from parts.workshop.answers import answer

from .account import account_of
from .aftercare import CareDate
from .care_views import link_of
from .contents import contents_of, spec_of, template_of
from .forms import HandOverForm
from .models import Pack


def _job(request, number):
    jobs = Job.objects.visible_to(request.user).select_related(
        "client", "tray", "serves", "pack__document", "pack__person"
    )
    return get_object_or_404(jobs, number=number)


@for_owner
@require_http_methods(["GET", "POST"])
def sheet(request, number):
    """What is still open, and the hand-over; afterwards the pack and its care dates."""
    job = _job(request, number)
    form = HandOverForm(request.POST or None, person=request.user, subject=job)
    if request.method == "POST" and form.is_valid():
        if form.carry_out(lambda: Pack.hand_over(job, request.user, **form.facts)):
            messages.success(request, _("%(job)s is handed over; its pack is frozen.") % {"job": job})
            return redirect("handover:sheet", number)
    context = {**_still_open(_job(request, number)), "form": form}
    context["calendar"] = link_of(request, job) if context["pack"] else ""
    return answer(request, "handover/sheet.html", context)


def _still_open(job):
    """What the sheet lists: gates that block, tasks not done, money to come, and the pack once it is there."""
    return {
        "job": job, "pack": getattr(job, "pack", None), "spec": spec_of(job),
        "blocking": Gate.objects.blocking(job),
        "tasks": Task.objects.filter(job=job, done_at=None),
        "account": account_of(job), "today": timezone.localdate(),
        "care_dates": CareDate.objects.open().filter(job=job),
    }  # fmt: skip


@for_owner
@require_safe
def preview(request, number):
    """The pack as it would be frozen now, marked as a preview."""
    job = _job(request, number)
    pack = getattr(job, "pack", None) or Pack(job=job, received_by="", person=request.user)
    pdf = render_pdf(template_of(pack), contents_of(pack, request.workshop, preview=True))
    headers = {"Content-Disposition": f'inline; filename="pack-{job}-preview.pdf"'}
    return HttpResponse(pdf, "application/pdf", headers=headers)
