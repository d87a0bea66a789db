"""The letter that brings the client his private link."""

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from builds.quotes.letters import paper_of
from builds.sheets.letters import send

from .contents import issues_of


def link_made(job, address, until):
    """The private link, to the client, with the papers that wait for his answer."""
    said = {"title": job.title, "until": date_format(until)}
    waiting = [issue for issue in issues_of(job) if issue.standing == issue.State.SENT and issue.document]
    return send(
        [job.client.email],
        _("Your page for “%(title)s”") % said,
        [_("Your offers, the progress of the work and your papers for “%(title)s” are on this page:") % said, address,
         _("The link is private and opens until %(until)s; whoever has it can read the page.") % said],
        [paper_of(issue) for issue in waiting],
    )  # fmt: skip
