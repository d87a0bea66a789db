"""What each request carries of the workshop, and how a refusal reaches the page."""

import zoneinfo

from django.contrib import messages
from django.http import HttpResponseRedirect
from django.utils import timezone
from django.utils.functional import SimpleLazyObject
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _

from .models import Workshop
from .refusal import AlreadyDone, Refused


def way_back(request):
    """Where a person came from, if it is a page of ours; else the board."""
    for url in (request.POST.get("next"), request.META.get("HTTP_REFERER")):
        # A bare word would be a host's page to Django and the name of a view to `redirect`.
        if url and url.startswith(("/", "http")) and url_has_allowed_host_and_scheme(url, {request.get_host()}):
            return url
    return "/"


class WorkshopMiddleware:
    """Gives `request.workshop`, the workshop's time zone, and turns a refusal into a message on the page."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        request.workshop = SimpleLazyObject(Workshop.current)
        if getattr(request.user, "is_authenticated", False):
            with timezone.override(zoneinfo.ZoneInfo(request.workshop.time_zone)):
                response = self.get_response(request)
            # What somebody signed in for belongs in no shared cache, and is asked for anew after signing out.
            response.headers.setdefault("Cache-Control", "private, no-cache")
            return response
        return self.get_response(request)

    def process_exception(self, request, exception):
        if isinstance(exception, Refused):
            messages.error(request, exception.message)
        elif isinstance(exception, AlreadyDone):
            messages.info(request, _("That was done already; nothing was changed again."))
        else:
            return None
        return HttpResponseRedirect(way_back(request))
