"""Letters to the client, by Django's mail settings. A letter that cannot go never undoes what it tells of."""

import logging

from django.core.mail import EmailMessage
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from parts.workshop.models import Workshop

log = logging.getLogger(__name__)


def one_line(text):
    """A subject or name without the line breaks that a header must not hold."""
    return " ".join(text.split())


def send(to, subject, lines, pdf=None, name="", headers=None):
    """Send one letter, perhaps with a PDF; False when there is nobody to send it to or it did not go."""
    to = [address for address in to if address]
    if not to:
        return False
    shop = Workshop.current()
    letter = EmailMessage(
        one_line(subject), "\n\n".join([*lines, shop.name]), from_email=shop.email or None, to=to[:1], cc=to[1:],
        reply_to=[shop.email] if shop.email else None, headers=headers,
    )  # fmt: skip
    if pdf:
        letter.attach(name, pdf, "application/pdf")
    try:
        return bool(letter.send())
    except (OSError, ValueError) as why:  # the mail host is away, or an address is none
        log.warning("A letter “%s” did not go: %s", letter.subject, why)
        return False


def accepted(issue):
    """A copy of what was accepted, to the client and the workshop."""
    shop, client = Workshop.current(), issue.quote.job.client
    said = {"issue": issue, "title": issue.quote.job.title, "name": issue.decided_by,
            "day": date_format(issue.decided_at, "DATETIME_FORMAT")}  # fmt: skip
    return send(
        [client.email, shop.email],
        _("Accepted: %(issue)s, %(title)s") % said,
        [_("%(issue)s for “%(title)s” was accepted on %(day)s by %(name)s.") % said,
         _("The PDF with this letter is what was accepted, byte for byte.")],
        issue.document.read(), f"{issue.quote}-{issue.number}.pdf",
    )  # fmt: skip


def link_made(job, address, until):
    """The private link, to the client."""
    said = {"title": job.title, "until": date_format(until)}
    return send(
        [job.client.email],
        _("Your page for “%(title)s”") % said,
        [_("Your offers, the progress of the work and your papers for “%(title)s” are on this page:") % said, address,
         _("The link is private and opens until %(until)s; whoever has it can read the page.") % said],
    )  # fmt: skip
