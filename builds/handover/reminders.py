"""Letters that remind of care dates: to clients who agreed to them, and to the workshop. Each date is told once."""

from dataclasses import dataclass, field
from datetime import timedelta

from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from parts.workshop import audit
from parts.workshop.models import Workshop

from . import stopping
from .aftercare import CareDate
from .models import Pack

WITHIN = 14  # days ahead


class _NotSent(Exception):
    """A letter did not go: what it would have told stays untold."""


@dataclass
class Told:
    """Care dates told to clients and to the owner, and to whom no letter went."""

    clients: int = 0
    owner: int = 0
    failed: list = field(default_factory=list)


def remind(today, send, within=WITHIN):
    """Tell of everything due by today and `within` days that was not told yet. Returns Told.

    send(to, subject, lines, headers=None) sends one letter and says whether it went. A date is marked in the same
    transaction as its letter, so that a second run tells nothing twice and a letter that did not go is tried again.
    """
    told, by = Told(), today + timedelta(days=within)
    agreed = Pack.objects.filter(reminders_since__isnull=False).exclude(job__client__email="")
    for pack in agreed.select_related("job__client"):
        dates = CareDate.objects.due_by(by).filter(job=pack.job, told_client_on=None)
        told.clients += _tell(told, dates, "told_client_on", today, str(pack.job),
                              lambda due, pack=pack: _to_client(send, pack, due))  # fmt: skip
    email = Workshop.current().email
    if email:
        dates = CareDate.objects.due_by(by).filter(told_owner_on=None)
        told.owner = _tell(told, dates, "told_owner_on", today, email, lambda due: _to_owner(send, email, due))
    return told


def _tell(told, dates, mark, today, whom, letter):
    """Send the letter of these dates and mark them; how many were told."""
    try:
        with transaction.atomic():
            due = list(dates.select_for_update(of=("self",)).select_related("job"))
            if not due:
                return 0
            CareDate.objects.filter(pk__in=[care.pk for care in due]).update(**{mark: today})
            for job in {care.job for care in due}:
                audit.record(None, "reminded", f"job {job}", after={"whom": mark.split("_")[1], "on": today})
            if not letter(due):
                raise _NotSent
    except _NotSent:
        told.failed.append(whom)
        return 0
    return len(due)


def _lines(due):
    return [
        _("by %(day)s: %(what)s") % {"day": date_format(care.due), "what": care.what} for care in due
    ]  # fmt: skip


def _to_client(send, pack, due):
    said = {"title": pack.job.title, "since": date_format(pack.reminders_since)}
    stop, reply = stopping.address_of(pack), Workshop.current().email
    how = _("Open %(stop)s if you want no more of them.") % {"stop": stop} if stop else ""
    how = how or _("Answer this letter if you want no more of them.")
    return send(
        [pack.job.client.email],
        _("Care for “%(title)s”") % said,
        [
            _("Your machine “%(title)s” wants some care:") % said,
            "\n".join(_lines(due)),
            _("How each is done stands on the care sheet of your hand-over pack. Mains off and unplugged before the "
              "case is opened; if in doubt, ask us."),
            _("You agreed to these reminders on %(since)s.") % said + " " + how,
        ],
        headers=stopping.headers_of(stop, reply),
    )  # fmt: skip


def _to_owner(send, email, due):
    lines = [f"{care.job} {care.job.title}, {line}" for care, line in zip(due, _lines(due), strict=True)]
    return send([email], _("Care dates that fall due"), ["\n".join(lines)])
