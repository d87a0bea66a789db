"""What an hour of work brings: a job's contribution per hour, as quoted, as it stands, and beside finished jobs.

Contribution is the price without tax less what was bought for the job; an hour's share of it pays for the work, the
bench and the roof. (Contribution margin per unit of the limiting resource, common practice in cost accounting.)
"""

from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Sum

from builds.jobs.models import Job, Stage
from builds.labour.hours import HoursEntry, in_hours
from parts.orders.worth import landed_for
from parts.workshop.money import rounded

from .models import Issue, IssueLine
from .pricing import per_hour

NOTHING = Decimal(0)
FINISHED_SHOWN = 8


@dataclass(frozen=True)
class Earned:
    """A job's contribution: quoted, and now. hours in hours, the rest per hour in the job's currency, or None.

    While the job is live neither its parts nor its hours count below what was quoted: what is not bought or worked
    yet still will be.
    """

    hours_quoted: Decimal
    quoted: Decimal | None
    hours: Decimal
    now: Decimal | None
    settled: bool

    @classmethod
    def of(cls, job, found, net):
        """From a job's Compared and the price without tax of all that is agreed."""
        quoted_hours = sum((work.quoted for work in found.work), NOTHING)
        hours = sum((work.logged for work in found.work), NOTHING)
        quoted_bought, bought = found.parts_cost + found.other_cost, found.bought + found.other_cost
        settled = not job.is_live
        if not settled:
            hours, bought = max(hours, quoted_hours), max(bought, quoted_bought)
        return cls(
            quoted_hours, per_hour(net, quoted_bought, quoted_hours, found.currency),
            hours, per_hour(net, bought, hours, found.currency), settled,
        )  # fmt: skip


@dataclass(frozen=True)
class Finished:
    """A handed-over job: hours logged, what each brought; None where no hour was logged or a part has no known cost."""

    job: Job
    hours: Decimal
    brought: Decimal | None


def finished_jobs(ours, but=None):
    """The Finished of the jobs handed over last, the newest first; seven queries, whatever their number."""
    jobs = Job.objects.filter(stage=Stage.HANDED_OVER).exclude(pk=but and but.pk).order_by("-handed_over_at", "-pk")
    jobs = list(jobs[:FINISHED_SHOWN])
    agreed = Issue.objects.filter(quote__job__in=jobs, state=Issue.State.ACCEPTED).order_by()
    nets = dict(agreed.values_list("quote__job").annotate(Sum("net")))
    others = defaultdict(Decimal)  # what is neither part nor work costs as it was quoted
    lines = IssueLine.objects.filter(issue__in=agreed.values("pk"), kind=IssueLine.OTHER, unit_cost__isnull=False)
    for job, quantity, cost in lines.values_list("issue__quote__job", "quantity", "unit_cost"):
        others[job] += rounded(quantity * cost, ours)
    entries = HoursEntry.objects.filter(task__job__in=jobs).order_by().values_list("task__job")
    logged = {job: in_hours(time) for job, time in entries.annotate(time=HoursEntry.time_until())}
    landed = landed_for([job.tray_id for job in jobs], ours)
    found = []
    for job in jobs:
        hours, cost = logged.get(job.pk, NOTHING), landed[job.tray_id]
        bought = cost.total + others[job.pk]
        known = nets.get(job.pk) is not None and not cost.unknown
        found.append(Finished(job, hours, per_hour(nets[job.pk], bought, hours, ours) if known else None))
    return found
