"""What is kept of a client: given to him as one file, or erased but for what tax law keeps."""

import io
import json
import zipfile
from datetime import date

from django.core.files.storage import default_storage
from django.core.serializers.json import DjangoJSONEncoder
from django.db import transaction
from django.db.models import Q
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from builds.clients.models import Client
from builds.handover.aftercare import CalendarLink, CareDate
from builds.handover.models import Pack
from builds.jobs.models import LIVE, Job
from builds.journal.models import JournalEntry
from builds.quotes.bills import Bill, Payment
from builds.quotes.models import Issue
from builds.sheets.models import Document
from parts.workshop import audit
from parts.workshop.models import AuditEntry
from parts.workshop.refusal import Refused

from .models import Link, Opening

ABOUT_HIM = ("name", "contact", "email", "phone", "address", "country", "tax_number", "note")
WISHES = ("purpose", "theme", "client_supplies", "budget", "noise_wish_db", "room_warmest_c", "deadline")
# Names under which the audit trail holds what a client is, said or wished.
IN_THE_TRAIL = {*ABOUT_HIM, *WISHES, "title", "client", "from", "whom", "received_by", "reason", "by", "text"}


def bills_of(client):
    return Bill.objects.filter(job__client=client)


def agreed_of(client):
    return Issue.objects.filter(quote__job__client=client, state=Issue.State.ACCEPTED)


def documents_of(client):
    """Every paper of a client's jobs that is still there: quotes, bills, hand-over packs."""
    packs = [str(job) for job in client.jobs.all()]
    issues = Issue.objects.filter(quote__job__client=client).exclude(document=None)
    mine = Q(pk__in=issues.values("document")) | Q(pk__in=bills_of(client).values("document"))
    return Document.objects.filter(mine | Q(kind="pack", number__in=packs)).filter(erased_at=None)


def kept_by_law(client, until):
    """Of those, what tax law keeps: bills and the agreements they rest on, until the end of a day."""
    papers = documents_of(client)
    if until is None or until < timezone.localdate():
        return papers.none()
    return papers.filter(Q(pk__in=bills_of(client).values("document")) | Q(pk__in=agreed_of(client).values("document")))


def until_when(client, years):
    """The last day that bills and agreements are kept: so many years from the end of the last one's year; or None."""
    days = [*bills_of(client).values_list("issued_on", flat=True)]
    days += [decided.date() for decided in agreed_of(client).values_list("decided_at", flat=True)]
    return date(max(days).year + years, 12, 31) if days else None


def as_zip(client):
    """All of it as the bytes of a zip: data.json, the documents as PDF, and the photos he was shown."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("data.json", json.dumps(_data(client), cls=DjangoJSONEncoder, indent=1, ensure_ascii=False))
        for document in documents_of(client):
            packed.writestr(f"documents/{document.file_name}", document.read())
        for entry in _shared(client).prefetch_related("photos__photo"):
            for shown in entry.photos.all():
                packed.writestr(f"photos/{entry.on}-{shown.pk}.jpg", shown.photo.read())
    return held.getvalue()


def _shared(client):
    return JournalEntry.objects.filter(job__client=client).exclude(shared_at=None).order_by("pk")


def _data(client):
    """Plain rows, each under the name that the pages use."""
    issues = Issue.objects.filter(quote__job__client=client).order_by("pk")
    sets = {
        "jobs": (client.jobs.order_by("number"), ("number", "title", "kind", "stage", "opened_at", "promise", *WISHES)),
        "quotes": (issues, ("quote__number", "number", "state", "currency", "net", "tax", "total", "sent_at",
                            "decided_at", "decided_by", "decided_from", "reason")),
        "bills": (bills_of(client), ("number", "job__number", "kind", "currency", "amount", "issued_on", "due_on")),
        "payments": (Payment.objects.filter(bill__job__client=client),
                     ("bill__number", "amount", "received_on", "note")),
        "hand-overs": (Pack.objects.filter(job__client=client),
                       ("job__number", "on", "way", "received_by", "reminders_since")),
        "care dates": (CareDate.objects.filter(job__client=client), ("job__number", "due", "what", "done_on")),
        "journal shared with you": (_shared(client), ("job__number", "on", "text", "consent_on", "consent_by")),
        "links": (Link.objects.filter(job__client=client), ("job__number", "whom", "made_at", "expires_on")),
        "openings of links": (Opening.objects.filter(link__job__client=client),
                              ("link__job__number", "at", "address", "browser")),
    }  # fmt: skip
    said = {name: list(rows.values(*columns)) for name, (rows, columns) in sets.items()}
    return {"client": {name: getattr(client, name) for name in ABOUT_HIM}, "as of": timezone.now()} | said


@transaction.atomic
def erase(client, by, years):
    """Erase what is kept of a client. Bills and agreements stay for so many years, without anything beside them.

    Called again after that time, it erases those too. Refused while a job is under way or money is open.
    """
    client = Client.objects.select_for_update().get(pk=client.pk)
    _refuse_while_open(client)
    client.papers_until = client.papers_until or until_when(client, years)
    keep = set(kept_by_law(client, client.papers_until).values_list("pk", flat=True))
    gone = list(documents_of(client).exclude(pk__in=keep))
    _redact_trail(client)
    _reduce_jobs(client)
    Document.objects.filter(pk__in=[paper.pk for paper in gone]).update(
        erased_at=timezone.now(), title=_("erased"), data={}
    )
    for name in ABOUT_HIM:
        setattr(client, name, "")
    client.name, client.erased_at = _("erased client %(number)d") % {"number": client.pk}, timezone.now()
    client.save()
    after = {"documents erased": len(gone), "documents kept": len(keep), "kept until": client.papers_until}
    audit.record(by, "erased", f"client {client.pk}", after=after)
    transaction.on_commit(lambda: _delete_files(gone))


def _refuse_while_open(client):
    live = client.jobs.filter(stage__in=LIVE).first()
    if live:
        raise Refused(
            _("%(job)s is under way; hand it over or end it first, then erase.") % {"job": live},
        )
    for bill in bills_of(client).with_paid():
        if bill.open:
            raise Refused(_("%(bill)s is not settled; money that is owed keeps its papers.") % {"bill": bill})


def _reduce_jobs(client):
    jobs = list(client.jobs.all())
    for job in jobs:
        blank = {name: None if Job._meta.get_field(name).null else "" for name in WISHES}
        Job.objects.filter(pk=job.pk).update(title=str(job), **blank)
    Link.objects.filter(job__in=jobs).delete()
    CalendarLink.objects.filter(job__in=jobs).delete()
    CareDate.objects.filter(job__in=jobs, done_on=None).delete()
    Pack.objects.filter(job__in=jobs).update(received_by="", reminders_since=None)
    JournalEntry.objects.filter(job__in=jobs).update(consent_by="")
    Issue.objects.filter(quote__job__in=jobs).update(decided_by="", decided_from=None, reason="")
    Payment.objects.filter(bill__job__in=jobs).update(note="")


def _redact_trail(client):
    """Who did what and when stays in the trail, and every amount; what it says of the client goes."""
    names = _names_borne(client)
    jobs = list(client.jobs.prefetch_related("quotes", "journal", "bills"))
    mine = Q(about__in=[f"client {name}"[:80] for name in names])
    for job in jobs:
        mine |= Q(about__in=[f"job {job}", *(entry.about for entry in job.journal.all())])
        mine |= Q(about__in=[f"bill {bill}" for bill in job.bills.all()])
        for quote in job.quotes.all():
            mine |= Q(about__startswith=f"quote {quote} ")
    for entry in AuditEntry.objects.filter(mine):
        if entry.about.startswith("client "):
            entry.about = f"client {client.pk}"
        entry.before, entry.after = _redacted(entry.before), _redacted(entry.after)
        entry.save(update_fields=["about", "before", "after"])


def _redacted(values):
    return values and {key: _("erased") if key in IN_THE_TRAIL and value else value for key, value in values.items()}


def _names_borne(client):
    """The client's name and the ones it had before, as the trail tells; none that another client bears."""
    found, asked = {client.name}, set()
    while new := found - asked:
        asked |= new
        for entry in AuditEntry.objects.filter(about__in=[f"client {name}"[:80] for name in new]):
            found |= {said["name"] for said in (entry.before, entry.after) if said and said.get("name")}
    return found - set(Client.objects.exclude(pk=client.pk).filter(name__in=found).values_list("name", flat=True))


def _delete_files(papers):
    for paper in papers:
        if not Document.objects.filter(sha256=paper.sha256, erased_at=None).exists():
            default_storage.delete(paper.path)


def summary(client):
    """What the page tells: how much there is, and what the law keeps until when."""
    until = client.papers_until
    return {
        "documents": documents_of(client).count(), "kept": kept_by_law(client, until).count() if until else 0,
        "bills": bills_of(client).count(), "agreed": agreed_of(client).count(),
        "until": date_format(until) if until else "", "may_go": bool(until and until < timezone.localdate()),
    }  # fmt: skip
