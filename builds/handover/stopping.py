"""How a client stops the reminders: a signed link in each letter, and the headers by which a mail program does it.

List-Unsubscribe: RFC 2369 section 3.2; one click: RFC 8058, which asks for an HTTPS address.
"""

from django.conf import settings
from django.core import signing
from django.urls import reverse

from .models import Pack

LOCAL = {"localhost", "127.0.0.1", "[::1]", "*"}


def _signer():
    return signing.Signer(salt="handover.reminders", sep=".")


def address_of(pack):
    """The whole address that stops a machine's reminders; empty where the workshop is served under no name of its own.

    A letter is written by a timer and sees no request: the name is the first of LOOPWRIGHT_HOSTS.
    """
    host = next((name for name in settings.ALLOWED_HOSTS if name not in LOCAL and not name.startswith(".")), "")
    if not host:
        return ""
    scheme = "https" if settings.SECURE_SSL_REDIRECT else "http"
    return f"{scheme}://{host}{reverse('handover:stop', args=[_signer().sign(pack.pk)])}"


def headers_of(address, email):
    """The headers of a letter that can be stopped at an address, or by a letter to the workshop."""
    ways = [f"<{address}>"] if address else []
    ways += [f"<mailto:{email}?subject=stop>"] if email else []
    if not ways:
        return {}
    one_click = {"List-Unsubscribe-Post": "List-Unsubscribe=One-Click"} if address.startswith("https:") else {}
    return {"List-Unsubscribe": ", ".join(ways), **one_click}


def pack_of(token):
    """The Pack whose reminders a link stops; None for a guess."""
    try:
        pk = _signer().unsign(token)
    except signing.BadSignature:
        return None
    return Pack.objects.select_related("job__client").filter(pk=int(pk)).first()
