"""Who may open a page. Every view wears one of these; a test walks all URLs and looks for it."""

import ipaddress
from functools import wraps

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied

from .models import Person


def _guarded(view, roles):
    @wraps(view)
    def guarded(request, *args, **kwargs):
        if request.user.role not in roles:
            raise PermissionDenied
        return view(request, *args, **kwargs)

    guarded.roles = roles
    return guarded


def for_owner(view):
    """Prices, clients, settings: the owner alone."""
    return _guarded(view, frozenset({Person.OWNER}))


def for_workshop(view):
    """The bench: everybody who works here."""
    return _guarded(view, frozenset({Person.OWNER, Person.WORKSHOP}))


def for_anyone(view):
    """Pages that need no login."""
    view = login_not_required(view)
    view.roles = frozenset()
    return view


def address_of(request):
    """Where a request comes from: the proxy's word for it when served by TLS behind one; None if it is no address."""
    said = request.META.get("REMOTE_ADDR", "")
    if settings.TLS:
        said = request.META.get("HTTP_X_FORWARDED_FOR", said).rpartition(",")[2].strip()
    try:
        return str(ipaddress.ip_address(said))
    except ValueError:
        return None
