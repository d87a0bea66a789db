"""All that the board, today and a job's head know of jobs, gathered in a constant number of queries."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Count, OuterRef, Q, Subquery
from django.db.models.functions import Coalesce, JSONObject

from builds.labour.foreseen import outlooks
from builds.labour.outlook import Outlook
from builds.proving.models import Gate
from builds.quotes.bills import Bill
from builds.quotes.models import Issue

SETTLED = [Gate.Verdict.PASSED, Gate.Verdict.WAIVED]
OPEN_ISSUES = [Issue.State.DRAFTED, Issue.State.SENT, Issue.State.DECLINED, Issue.State.LAPSED]


@dataclass(frozen=True)
class Offer:
    """The newest issue of a job's quotes that is not agreed."""

    state: str
    quote: int
    issue: int
    valid_until: date | None
    is_variation: bool

    @classmethod
    def read(cls, said):
        """From the JSON that `with_standing` adds, None for none."""
        if not said:
            return None
        until = said["valid_until"]
        return cls(
            said["state"], said["quote"], said["issue"], date.fromisoformat(until) if until else None,
            said["alters"] is not None,
        )  # fmt: skip

    def has_lapsed(self, today):
        return self.state == Issue.State.LAPSED or bool(self.valid_until and self.valid_until < today)


@dataclass(frozen=True)
class Sight:
    """A job as the board sees it. due: what its client owes today; None for those who may not know."""

    outlook: Outlook
    offer: Offer | None
    open_gates: int
    due: Decimal | None = None

    @property
    def job(self):
        return self.outlook.job


def with_standing(jobs):
    """Jobs with their open offer and the gates still to pass, in the jobs' own query."""
    offers = Issue.objects.filter(quote__job=OuterRef("pk"), state__in=OPEN_ISSUES).order_by("-pk")
    said = JSONObject(
        state="state", quote="quote__number", issue="number", valid_until="valid_until", alters="quote__alters"
    )
    due = Q(job__serves=None) | Q(kind__in=Gate.SERVICE)
    settled = Gate.objects.filter(due, job=OuterRef("pk"), verdict__in=SETTLED).order_by().values("job")
    return jobs.annotate(
        open_offer=Subquery(offers.annotate(said=said).values("said")[:1]),
        gates_settled=Coalesce(Subquery(settled.annotate(n=Count("pk")).values("n")), 0),
    )


def look(jobs, person, workshop, money=True):
    """[Sight] of a queryset of jobs, those whose promise is in danger first.

    Three queries while the forecast is kept, and two more for an owner's view of money, whatever the number of jobs.
    """
    jobs = list(with_standing(jobs))
    seen = outlooks(jobs, workshop)
    owed = Bill.objects.amount_due(jobs) if money and person.is_owner else None
    found = [
        Sight(
            seen[job.pk], Offer.read(job.open_offer), max(0, len(Gate.due(job)) - job.gates_settled),
            None if owed is None else owed.get(job.pk, Decimal(0)),
        )
        for job in jobs
    ]  # fmt: skip
    return sorted(found, key=lambda sight: sight.outlook.danger)
