"""Letters by Django's mail settings. A letter that cannot go never undoes what it tells of."""

import logging

from django.core.mail import EmailMessage

from parts.workshop.models import Workshop

log = logging.getLogger(__name__)


def one_line(text):
    """A subject or name without the line breaks that a header must not hold."""
    return " ".join(text.split())


def send(to, subject, lines, papers=(), headers=None):
    """Send one letter with its papers, pairs of file name and PDF; False when nobody is to have it or it did not go."""
    to = [address for address in to if address]
    if not to:
        return False
    shop = Workshop.current()
    letter = EmailMessage(
        one_line(subject), "\n\n".join([*lines, shop.name]), from_email=shop.email or None, to=to[:1], cc=to[1:],
        reply_to=[shop.email] if shop.email else None, headers=headers,
    )  # fmt: skip
    for name, pdf in papers:
        letter.attach(name, pdf, "application/pdf")
    try:
        return bool(letter.send())
    except (OSError, ValueError) as why:  # the mail host is away, or an address is none
        log.warning("A letter “%s” did not go: %s", letter.subject, why)
        return False
