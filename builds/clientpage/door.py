"""The door of the client's page: whose link it is, how often it may be tried, what no browser may keep."""

import zoneinfo
from functools import wraps

from django.core.cache import cache
from django.shortcuts import render
from django.utils import timezone

from parts.workshop.access import address_of, for_anyone

from .models import Link

WRONG_ALLOWED, OPENINGS_ALLOWED = 20, 240  # wrong links an address, openings a link, each in PERIOD
PERIOD = 300  # seconds


def too_often(key, allowed):
    """Count one more of something in this period; True past what is allowed."""
    key = f"client-page:{key}"
    cache.add(key, 0, PERIOD)
    try:
        return cache.incr(key) > allowed
    except ValueError:  # it ran out between the two
        return False


def private(answer):
    """Nothing of the page is kept, indexed or told to another site."""
    answer["Cache-Control"] = "no-store, private"
    answer["X-Robots-Tag"] = "noindex, nofollow, noarchive"
    answer["Referrer-Policy"] = "same-origin"
    return answer


def shut(request, why, status):
    """A page that says kindly why nothing opens. why: unknown, withdrawn, run_out, busy."""
    return private(render(request, "clientpage/shut.html", {"why": why}, status=status))


def by_link(view):
    """A view of the job that a link's token opens: view(request, link, …).

    A guess, a withdrawn or an old link stays out; link.token and link.whence say what was typed and from where.
    """

    @wraps(view)
    def opened(request, token, *args, **kwargs):
        whence = address_of(request)
        link = Link.objects.holding(token) if len(token) < 100 else None
        if link is None:
            busy = too_often(f"wrong:{whence}", WRONG_ALLOWED)
            return shut(request, "busy", 429) if busy else shut(request, "unknown", 404)
        if link.revoked_at:
            return shut(request, "withdrawn", 410)
        if link.has_run_out:
            return shut(request, "run_out", 410)
        if too_often(f"link:{link.pk}", OPENINGS_ALLOWED):
            return shut(request, "busy", 429)
        link.token, link.whence = token, whence
        with timezone.override(zoneinfo.ZoneInfo(request.workshop.time_zone)):
            return private(view(request, link, *args, **kwargs))

    return for_anyone(opened)
