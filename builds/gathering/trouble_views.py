"""Views for when it goes wrong: a bad part, a job that ended, a client's own part, a withdrawn one."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from builds.jobs.models import Job
from builds.specs.models import SpecLine
from parts.shelf.models import Stock
from parts.workshop.access import for_owner, for_workshop
from parts.workshop.answers import acting, answer

from . import trouble
from .trouble_forms import BadForm, SettleForm


@for_workshop
@require_http_methods(["GET", "POST"])
def bad(request, pk):
    """A part in stock turned out bad: return, replacement and re-work in one go."""
    stock = get_object_or_404(Stock.objects.lying().select_related("part", "tray", "place"), pk=pk)
    job = trouble.job_of(stock.tray)
    form = BadForm(request.POST or None, request.FILES or None, stock=stock, job=job, person=request.user)
    if request.method == "POST" and form.is_valid() and form.carry_out(form.carry):
        _say(request, stock, *(form.result or (None, None, None)))
        return redirect("gathering:sheet", job.number) if job else redirect("orders:returns")
    rework = trouble.rework_of(job, stock.part)[0] if job and not job.is_live else []
    return answer(request, "gathering/bad.html", {"form": form, "stock": stock, "job": job, "rework": rework})


def _say(request, stock, case, line, change):
    if change:
        said = _("It is out of the tray, its tasks wait, and variation %(change)s is drafted for one from us.")
        messages.success(request, said % {"change": change})
    elif stock.owner == Stock.CLIENTS:
        messages.success(
            request, _("It is out of the tray and its tasks wait. Tell the client: another of his own, or a variation.")
        )
    elif line:
        said = {"part": stock.part, "order": line.order}
        messages.success(request, _("%(part)s goes back; another stands on the draft %(order)s.") % said)
    elif case:
        messages.success(request, _("%(part)s goes back; see Returns.") % {"part": stock.part})


@for_owner
@require_http_methods(["GET", "POST"])
def settle(request, number):
    """A job ended: cancel, return, shelve or hand over each of its shares and parts."""
    job = _job(request, number)
    left = trouble.left_of(job)
    form = SettleForm(request.POST or None, job=job, left=left, person=request.user)
    if request.method == "POST" and form.is_valid() and form.carry_out(form.carry):
        messages.success(request, _("Done as chosen. Tell the suppliers what is called off."))
        return redirect("gathering:settle", number)
    return answer(request, "gathering/settle.html", {"form": form, "job": job, "left": left})


@for_workshop
@require_POST
def give_back(request, pk):
    """The client's own part, unused, goes back to him."""
    stock = get_object_or_404(Stock.objects.lying().select_related("part", "tray"), pk=pk)
    job = get_object_or_404(Job, tray=stock.tray)
    with acting(request):
        trouble.give_back(stock, request.user)
    messages.success(request, _("%(part)s is given back.") % {"part": stock.part})
    return redirect("gathering:sheet", job.number)


@for_owner
@require_POST
def successor(request, number, line):
    """Put a withdrawn part's successor into the spec."""
    job = _job(request, number)
    line = get_object_or_404(SpecLine.objects.select_related("part__successor", "role"), pk=line, spec__job=job)
    with acting(request):
        spec = trouble.put_successor(job, line, request.user)
    messages.success(
        request,
        _("%(part)s stands in spec version %(n)s. On an agreed job the client accepts it by a variation, "
          "even at no price.")
        % {"part": line.part.successor, "n": spec.number},
    )  # fmt: skip
    return redirect("specs:spec", number)


def _job(request, number):
    return get_object_or_404(Job.objects.visible_to(request.user).select_related("client", "tray"), number=number)
