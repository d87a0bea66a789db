"""What a client's page says of a job, and nothing more: no cost, no hour, no name of a supplier."""

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from django.db.models import Count, F, OuterRef, Prefetch, Subquery, prefetch_related_objects
from django.db.models.functions import Coalesce
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from builds.gathering.buying import Need, fill
from builds.jobs.models import Stage
from builds.labour.models import Task
from builds.quotes.bills import Bill
from builds.quotes.models import Issue, IssueLine
from builds.quotes.reckoning import stored
from builds.specs.models import SpecLine
from parts.shelf.models import Stock

SHOWN = [Issue.State.SENT, Issue.State.ACCEPTED, Issue.State.DECLINED, Issue.State.SUPERSEDED]


@dataclass
class Contents:
    """pending: issues that wait for the client. agreed: what he accepted, in order. past: the rest he was sent.

    here, expected: numbers of parts. steps: (done, all). payments: rows of stage payments with their bills.
    """

    job: object
    pending: list = field(default_factory=list)
    agreed: list = field(default_factory=list)
    past: list = field(default_factory=list)
    payments: list = field(default_factory=list)
    bills: list = field(default_factory=list)
    here: Decimal = Decimal(0)
    expected: Decimal = Decimal(0)
    steps: tuple[int, int] = (0, 0)
    journal: list = field(default_factory=list)

    @property
    def pack(self):
        return getattr(self.job, "pack", None)

    @property
    def currency(self):
        return self.agreed[0].currency if self.agreed else ""

    @property
    def total(self):
        return sum((issue.total for issue in self.agreed), Decimal(0))

    @property
    def paid(self):
        return sum((bill.paid or Decimal(0) for bill in self.bills), Decimal(0))

    @property
    def credits(self):
        """Credit notes that belong to no stage payment."""
        return [bill for bill in self.bills if bill.stage_payment_id is None]

    @property
    def sentence(self):
        return progress(self)


def issues_of(job):
    """Everything the client was ever sent of a job; drafts are nobody's business yet."""
    issues = Issue.objects.filter(quote__job=job, state__in=SHOWN).order_by("quote__number", "number")
    return issues.select_related("quote__alters__quote", "document")


def contents_of(job):
    """The Contents of a job in at most eight queries."""
    found = Contents(job, journal=_journal_of(job))
    for issue in issues_of(job).annotate(**_steps()).prefetch_related("stage_payments"):
        issue.quote.job = job
        found.steps = issue.steps_done, issue.steps_all
        _of_state(found, issue.standing).append(issue)
    found.agreed.sort(key=lambda issue: (issue.decided_at, issue.pk))
    _lines_of(found.pending)
    for issue in found.pending:
        issue.with_it = found.total + issue.total
    if found.agreed:
        _money(found)
        _progress(found)
    return found


def _journal_of(job):
    """Shared entries with the keys of their photos as `pictures`; one query for both, a row a photo."""
    rows = job.journal.shared().annotate(picture=F("photos__pk"))
    entries = {}
    for row in rows.order_by("-on", "-pk", "photos__position", "photos__pk"):
        entry = entries.setdefault(row.pk, row)
        entry.pictures = [*getattr(entry, "pictures", []), *([row.picture] if row.picture else [])]
    return list(entries.values())


def _steps():
    """Counts of the job's tasks that ride along with its issues and so ask no query of their own."""
    tasks = Task.objects.filter(job=OuterRef("quote__job")).order_by().values("job")
    return {
        f"steps_{name}": Coalesce(Subquery(tasks.annotate(n=Count(what)).values("n")), 0)
        for name, what in (("done", "done_at"), ("all", "pk"))
    }


def _lines_of(issues):
    """Give each issue its figures as `shown`; one query for all of their lines."""
    prefetch_related_objects(issues, Prefetch("lines", IssueLine.objects.select_related("role")))
    for issue in issues:
        issue.shown = stored(issue, list(issue.lines.all()), list(issue.stage_payments.all()))


def _of_state(found, state):
    pending = found.pending if found.job.is_live else found.past  # of a job that ended nobody can accept anything
    return {Issue.State.SENT: pending, Issue.State.ACCEPTED: found.agreed}.get(state, found.past)


def _money(found):
    found.bills = list(Bill.objects.filter(job=found.job).with_paid())
    by_stage = {bill.stage_payment_id: bill for bill in found.bills}
    for issue in found.agreed:
        for stage in issue.stage_payments.all():
            stage.their_bill = by_stage.get(stage.pk)
            stage.due_now = stage.is_due_in(found.job.stage)
            found.payments.append(stage)


def _progress(found):
    """Parts of the agreed spec that lie in the job's tray."""
    job = found.job
    lines = SpecLine.objects.filter(spec=found.agreed[-1].spec_id).values_list(
        "role", "part", "quantity", "client_supplied"
    )
    needs = [Need(*line) for line in lines]
    held = {Stock.OURS: {}, Stock.CLIENTS: {}}
    for (_tray, part, whose), quantity in Stock.objects.by_tray_and_part([job.tray_id]).items():
        held[whose][part] = quantity
    met = fill(needs, here=held[Stock.OURS], brought=held[Stock.CLIENTS], coming={}, shelf={})
    # A length of tube counts as one thing, as a client would count it.
    found.expected = len(needs)
    found.here = sum(each.here >= each.need.quantity for each in met)


def progress(found):
    """Where the machine stands, in one or two plain sentences."""
    job, (done, steps) = found.job, found.steps
    if job.stage in (Stage.LOST, Stage.CANCELLED):
        return _("This job is closed.")
    if not found.agreed:
        return _("Nothing is agreed yet; nothing is ordered and nothing is built.")
    parts = _("%(here)d of %(all)d kinds of parts are in the workshop.") % {"here": found.here, "all": found.expected}
    work = _("%(done)d of %(all)d steps of the work are done.") % {"done": done, "all": steps} if steps else ""
    said = {
        Stage.AGREED: [_("Agreed. The parts are being ordered."), parts],
        Stage.GATHERING: [_("The parts are being gathered."), parts],
        Stage.BENCH: [_("Your machine is being built."), work],
        Stage.PROVING: [_("Your machine is built and is now tested: for leaks, then run hot for hours."), work],
        Stage.HANDED_OVER: [_("Your machine has been handed over.")],
    }.get(job.stage, [])
    if job.paused_because and job.is_live:
        said = [*said, _("Work rests for the moment; ask the workshop if you would like to know more.")]
    return " ".join(filter(None, said))


def said_of(issue):
    """What a client is told of an issue that he can no longer accept."""
    state = issue.standing
    if state == Issue.State.SENT and not issue.quote.job.is_live:
        return _("This job is closed and its offer with it. Ask the workshop if you would like a new one.")
    day = date_format(issue.decided_at) if issue.decided_at else ""
    return {
        Issue.State.ACCEPTED: _(
            "This was accepted on %(day)s by %(name)s. It counts once; you need do nothing more."
        ) % {"day": day, "name": issue.decided_by},
        Issue.State.DECLINED: _("You declined this on %(day)s. Ask the workshop if you would like a new offer.")
        % {"day": day},
        Issue.State.LAPSED: _(
            "This offer was good until %(until)s and can no longer be accepted. Ask the workshop for a new one."
        ) % {"until": date_format(issue.valid_until) if issue.valid_until else ""},
        Issue.State.SUPERSEDED: _("A newer one has taken the place of this offer; that one counts."),
    }.get(state, "")  # fmt: skip


class Dated(NamedTuple):
    """A day of the job, as the calendar takes it."""

    uid: str
    due: date
    job: object
    what: str


def dates_of(job):
    """The promise, the days bills are to be paid by, and the machine's care dates, of one job."""
    found = [Dated(f"{job}-promise", job.promise, job, _("promised for"))] if job.promise and job.is_live else []
    for bill in Bill.objects.filter(job=job).with_paid():
        if bill.open > 0:
            found.append(Dated(f"{job}-{bill}", bill.due_on, job, _("%(bill)s is to be paid") % {"bill": bill}))
    care = job.care_dates.filter(done_on=None)
    return found + [Dated(f"{job}-care-{each.pk}", each.due, job, each.what) for each in care]
