"""Reading in the log of a soak test: the file, its columns, what it says."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from builds.jobs.models import Job
from parts.workshop.access import for_workshop
from parts.workshop.answers import answer

from .log_forms import ColumnsForm, LogFileForm
from .log_pictures import log_pictures
from .logs import SoakLog
from .models import Gate


@for_workshop
@require_http_methods(["GET", "POST"])
def send(request, number):
    """Send a log; one whose layout is known is judged at once."""
    job = get_object_or_404(Job.objects.visible_to(request.user), number=number)
    form = LogFileForm(request.POST or None, request.FILES or None, person=request.user, job=job)
    if request.method == "POST" and form.is_valid() and form.carry_out(form.begin):
        return _onward(request, number, form.result) if form.result else redirect("proving:log", number)
    logs = SoakLog.objects.filter(gate__job=job).defer("raw").select_related("trial", "person")
    return answer(request, "proving/log_send.html", {"job": job, "form": form, "logs": logs})


@for_workshop
@require_http_methods(["GET", "POST"])
def columns(request, number, pk):
    """What each column holds; then what the log says, or why it is not judged."""
    job = get_object_or_404(Job.objects.visible_to(request.user), number=number)
    log = get_object_or_404(SoakLog.objects.select_related("gate__job", "trial"), pk=pk, gate__job=job)
    form = ColumnsForm(request.POST or None, person=request.user, subject=log)
    if request.method == "POST" and form.is_valid() and form.carry_out(form.match):
        return _onward(request, number, SoakLog.objects.get(pk=pk))
    context = {"job": job, "log": log, "form": form, "lines": log_pictures(log), "kind": Gate.Kind.SOAK}
    return answer(request, "proving/log_columns.html", context)


def _onward(request, number, log):
    """To the test when the log was judged, else to its columns."""
    if log.trial_id:
        messages.success(request, _("The log is judged; see what it says and confirm it."))
        return redirect("proving:gate", number, Gate.Kind.SOAK)
    return redirect("proving:log_columns", number, log.pk)
