from django.contrib import messages
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from parts.workshop.access import for_owner, for_workshop
from parts.workshop.answers import answer

from .forms import BriefForm, EndForm, EnquiryForm, PauseForm
from .models import Job, Stage


@for_owner
@require_safe
def listing(request):
    """Every job there ever was, newest first."""
    words = request.GET.get("q", "")
    jobs = Job.objects.visible_to(request.user).matching(words, by=request.user).select_related("client")
    page = Paginator(jobs, 50).get_page(request.GET.get("page"))
    return answer(request, "jobs/list.html", {"page": page, "q": words}, fragment="jobs/_rows.html")


@for_workshop
@require_safe
def job(request, number):
    """A job's address leads to the sheet a person works on."""
    found = get_object_or_404(Job.objects.visible_to(request.user), number=number)
    return redirect("jobs:brief" if request.user.is_owner else "labour:plan", found.number)


@for_owner
@require_http_methods(["GET", "POST"])
def enquiry(request):
    """Take a new enquiry."""
    form = EnquiryForm(request.POST or None, person=request.user, initial={"client": request.GET.get("client")})
    if request.method == "POST" and form.is_valid() and form.carry_out(form.open_job):
        return redirect("jobs:brief", form.result.number) if form.result else redirect("jobs:list")
    return answer(request, "jobs/enquiry.html", {"form": form})


@for_owner
@require_http_methods(["GET", "POST"])
def brief(request, number):
    found = get_object_or_404(Job.objects.visible_to(request.user).select_related("client"), number=number)
    form = BriefForm(request.POST or None, instance=found, person=request.user)
    if request.method == "POST" and form.is_valid() and form.store():
        messages.success(request, _("Brief saved."))
        return redirect("jobs:brief", number)
    job = Job.objects.select_related("client").get(pk=found.pk) if request.method == "POST" else found
    return answer(request, "jobs/brief.html", {"form": form, "job": job, "is_enquiry": job.stage == Stage.ENQUIRY})


@for_owner
@require_http_methods(["GET", "POST"])
def pause(request, number):
    """Let a job wait with a reason, or take it up again."""
    found = get_object_or_404(Job.objects.visible_to(request.user).live(), number=number)
    form = PauseForm(request.POST or None, person=request.user, subject=found, initial={"reason": found.paused_because})
    if request.method == "POST" and form.is_valid():
        if form.carry_out(lambda: found.pause(form.cleaned_data["reason"], by=request.user)):
            return redirect("jobs:brief", number)
    return answer(request, "jobs/pause.html", {"form": form, "job": found})


@for_owner
@require_http_methods(["GET", "POST"])
def end(request, number):
    """Lose an enquiry or cancel a job; asks for the reason first."""
    found = get_object_or_404(Job.objects.visible_to(request.user).live(), number=number)
    stage = Stage.LOST if found.stage in (Stage.ENQUIRY, Stage.QUOTED) else Stage.CANCELLED
    form = EndForm(request.POST or None, person=request.user, subject=found)
    if request.method == "POST" and form.is_valid():
        if form.carry_out(lambda: found.end(stage, by=request.user, reason=form.cleaned_data["reason"])):
            return redirect("jobs:list") if stage == Stage.LOST else redirect("gathering:settle", number)
    return answer(request, "jobs/end.html", {"form": form, "job": found, "stage": stage.label})
