"""Letters that bring the client his papers: an offer, a copy of what he accepted, a bill, a reminder of one."""

from django.utils.formats import date_format, number_format
from django.utils.translation import gettext as _

from builds.sheets.letters import send
from parts.workshop import audit
from parts.workshop.models import Workshop
from parts.workshop.money import rounded


def paper_of(issue):
    """The frozen PDF of an issue under the name it is mailed with."""
    return f"{issue.quote}-{issue.number}.pdf", issue.document.read()


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
        [paper_of(issue)],
    )  # fmt: skip


def offered(issue, by):
    """A sent issue to the client, its frozen PDF with it; whether it went."""
    said = {"issue": issue, "title": issue.quote.job.title, "until": date_format(issue.valid_until),
            "total": _money(issue.total, issue.currency)}  # fmt: skip
    what = _("With this letter comes a change to what was agreed for “%(title)s”, %(issue)s, at %(total)s in all.")
    if not issue.is_variation:
        what = _("With this letter comes our offer for “%(title)s”, %(issue)s, at %(total)s in all.")
    lines = [what % said, _("It is good until %(until)s.") % said,
             _("To accept it, open your private page if you have its link, or answer this letter.")]  # fmt: skip
    went = send([issue.quote.job.client.email], f"{issue}, {said['title']}", lines, [paper_of(issue)])
    return _told(went, by, f"quote {issue}", issue.quote.job.client)


def billed(bill, by):
    """A bill to the client, as a reminder once it is overdue; whether it went. The bill needs with_paid()."""
    job = bill.job
    said = {"bill": bill, "title": job.title, "day": date_format(bill.due_on),
            "open": _money(abs(bill.open), bill.currency)}  # fmt: skip
    subject = _("Reminder: %(bill)s, %(title)s") if bill.is_overdue else "%(bill)s, %(title)s"
    if bill.is_overdue:
        line = _("%(bill)s for “%(title)s” was to be paid by %(day)s; %(open)s of it are still open. If your payment "
                 "is on its way, thank you: then this letter needs no answer.")  # fmt: skip
    elif bill.open > 0:
        line = _("With this letter comes %(bill)s for “%(title)s”: %(open)s, to be paid by %(day)s.")
    elif bill.open < 0:
        line = _("With this letter comes credit note %(bill)s for “%(title)s”: you get back %(open)s.")
    else:
        line = _("With this letter comes %(bill)s for “%(title)s”. Nothing of it is open.")
    papers = [(bill.document.file_name, bill.document.read())]
    return _told(send([job.client.email], subject % said, [line % said], papers), by, f"bill {bill}", job.client)


def _money(amount, currency):
    return f"{number_format(rounded(amount, currency), force_grouping=True)} {currency}"


def _told(went, by, about, client):
    """Write down that a paper went out, and to which address."""
    if went:
        audit.record(by, "mailed", about, after={"to": client.email})
    return went
