"""After-care: all care dates, one marked done, the private calendar of them, a machine's life."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.jobs.models import Job
from parts.workshop.access import for_anyone, for_owner, for_workshop
from parts.workshop.answers import acting, answer

from .aftercare import CalendarLink, CareDate
from .calendar import calendar_of
from .care_forms import CareDoneForm, ServiceForm
from .life import find, life_of
from .models import Owed
from .service import open_service
from .stopping import pack_of


def link_of(request, job=None):
    """The address of a private calendar; empty while none was made."""
    link = CalendarLink.of(job)
    return request.build_absolute_uri(reverse("handover:calendar", args=[link.token])) if link else ""


@for_workshop
@require_safe
def care(request):
    """Every care date still open, of all machines, the longest due first."""
    dates = CareDate.objects.open().select_related("job")
    context = {"dates": dates, "today": timezone.localdate()}
    if request.user.is_owner:
        context["calendar"] = link_of(request)
    return answer(request, "handover/care.html", context)


@for_workshop
@require_http_methods(["GET", "POST"])
def done(request, pk):
    """Mark a care date done; what comes again gets its next date."""
    found = get_object_or_404(CareDate.objects.select_related("job__client"), pk=pk)
    form = CareDoneForm(request.POST or None, person=request.user)
    if (
        request.method == "POST"
        and form.is_valid()
        and form.carry_out(lambda: found.mark_done(request.user, **form.facts))
    ):
        following = form.result
        said = _("Done; next on %(day)s.") % {"day": date_format(following.due)} if following else _("Done.")
        messages.success(request, said)
        return redirect("handover:life", found.job.number)
    return answer(request, "handover/care_done.html", {"care": found, "job": found.job, "form": form})


@for_workshop
@require_safe
def life(request, number):
    """A machine's life: services with their readings, care, serials; a service's number leads to its machine."""
    machine = find(request.user, number)
    if machine is None:
        raise Http404
    context = {"job": machine, "today": timezone.localdate(), **life_of(machine, request.user)}
    return answer(request, "handover/life.html", context)


@for_owner
@require_http_methods(["GET", "POST"])
def service(request, number):
    """Open a service for a machine that was handed over."""
    machine = get_object_or_404(Job.objects.visible_to(request.user).select_related("client"), number=number)
    form = ServiceForm(request.POST or None, person=request.user)
    if request.method == "POST" and form.is_valid():
        if form.carry_out(lambda: open_service(machine, request.user, **form.facts)):
            return redirect("specs:spec", form.result.number) if form.result else redirect("handover:life", number)
    return answer(request, "handover/service.html", {"job": machine, "form": form})


@for_workshop
@require_POST
def give(request, pk):
    """The client has what was owed."""
    found = get_object_or_404(Owed.objects.select_related("pack__job"), pk=pk)
    with acting(request):
        found.give(request.user)
    return redirect("handover:life", found.pack.job.number)


@for_owner
@require_POST
def new_calendar(request):
    """Make the private calendar of a machine (posted number) or of all anew; the one before is shut."""
    number = request.POST.get("job") or ""
    job = get_object_or_404(Job, number=number) if number.isdecimal() and len(number) < 9 else None
    with acting(request):
        CalendarLink.make_anew(job, request.user)
    messages.success(request, _("This link opens the calendar; one made before opens nothing any more."))
    return redirect("handover:sheet", job.number) if job else redirect("handover:care")


@for_owner
@require_POST
def reminders(request, number):
    """Note that the client wants reminders, or no more."""
    job = get_object_or_404(Job.objects.select_related("client", "pack"), number=number, pack__isnull=False)
    with acting(request):
        job.pack.job = job
        job.pack.agree_reminders(request.POST.get("agreed") == "yes", request.user)
    return redirect("handover:sheet", number)


@csrf_exempt  # a mail program posts here by itself (RFC 8058); the signed link is the key
@for_anyone
@require_http_methods(["GET", "HEAD", "POST"])
def stop(request, token):
    """The client wants no more reminders. Opening the link only asks: programs look at links by themselves."""
    pack = pack_of(token)
    if pack is None:
        raise Http404
    if request.method == "POST" and pack.reminders_since:
        pack.agree_reminders(False, None)
    return answer(request, "handover/stop.html", {"pack": pack, "job": pack.job})


@for_anyone
@require_safe
def calendar(request, token):
    """Care dates for a calendar program; the signed link is the key."""
    link = CalendarLink.holding(token)
    if link is None:
        raise Http404
    shop = request.workshop
    name = link.job.title if link.job_id else _("Care dates, %(shop)s") % {"shop": shop.name}
    hint = _("See the care sheet of the hand-over pack. Mains off and unplugged before the case is opened.")
    hint += "".join(f"\n{line}" for line in (shop.name, shop.phone, shop.email) if line)
    headers = {"Cache-Control": "private, max-age=3600", "X-Robots-Tag": "noindex, nofollow",
               "Content-Disposition": 'inline; filename="care.ics"'}  # fmt: skip
    return HttpResponse(calendar_of(link.care_dates, name, hint), "text/calendar; charset=utf-8", headers=headers)
