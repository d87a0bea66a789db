"""The owner's sheet of a job's private links: make, copy, withdraw, see when they were opened."""

from django.db.models import Count, Max
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from builds.jobs.models import Job
from parts.workshop.access import for_owner
from parts.workshop.answers import acting, answer

from . import letters
from .forms import LinkForm
from .models import Link, Opening

OPENINGS_SHOWN = 20


def _job(request, number):
    return get_object_or_404(Job.objects.visible_to(request.user).select_related("client"), number=number)


@for_owner
@require_http_methods(["GET", "POST"])
def sheet(request, number):
    """The links of a job; a new one is shown here once, in the answer to the form that made it."""
    job = _job(request, number)
    form = LinkForm(request.POST or None, person=request.user, email=job.client.email)
    made = None
    if request.method == "POST" and form.is_valid():
        wanted = form.cleaned_data
        if form.carry_out(lambda: Link.make(job, request.user, wanted["expires_on"], wanted["whom"])):
            if form.result is None:  # sent twice: its link was shown by the first answer
                return redirect("links:sheet", number)
            made = _shown(request, *form.result, by_mail=wanted.get("by_mail"))
            form = LinkForm(person=request.user, email=job.client.email)
    links = Link.objects.visible_to(request.user).filter(job=job)
    context = {
        "job": job, "form": form, "made": made,
        "links": links.annotate(opened=Count("openings"), last_opened=Max("openings__at")),
        "openings": Opening.objects.filter(link__job=job).select_related("link")[:OPENINGS_SHOWN],
    }  # fmt: skip
    return answer(request, "clientpage/links.html", context)


def _shown(request, link, token, by_mail):
    """A new link's whole address, and whether it went out by e-mail (None: it was not asked to)."""
    address = request.build_absolute_uri(reverse("clientpage:page", args=[token]))
    went = letters.link_made(link.job, address, link.expires_on) if by_mail else None
    return {"link": link, "address": address, "went": went}


@for_owner
@require_POST
def revoke(request, number, pk):
    """Withdraw a link: it opens nothing from now on."""
    link = get_object_or_404(Link.objects.visible_to(request.user).select_related("job"), pk=pk, job__number=number)
    with acting(request):
        link.revoke(request.user)
    return redirect("links:sheet", number)
