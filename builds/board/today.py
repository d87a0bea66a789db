"""What a day holds: tasks that can be done, arrivals, what is late, what lapses, what falls due."""

from dataclasses import dataclass
from datetime import timedelta

from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from builds.handover.models import CareDate, Owed
from builds.jobs.models import Job
from builds.labour.days import said
from builds.labour.durations import clock_text
from builds.labour.models import HoursEntry
from builds.labour.outlook import tally_of
from builds.labour.pictures import day_ribbon
from builds.labour.rows import left_text
from builds.quotes.bills import Bill
from builds.quotes.models import Issue
from parts.orders.models import OrderLine, Share
from parts.templatetags.bench import money
from parts.workshop.numbers import label

from .rows import dates
from .sight import look

ARRIVALS, LAPSES, CARE = timedelta(days=7), timedelta(days=7), timedelta(days=30)
MOST = 40


@dataclass(frozen=True)
class Line:
    """One thing of the day: what, the small print, where it leads, when, and whether it is late."""

    what: str
    about: str = ""
    url: str = ""
    when: str = ""
    is_late: bool = False


@dataclass(frozen=True)
class Ready:
    """A task that can be begun now."""

    pk: int
    name: str
    job: str
    title: str
    url: str
    left: str
    date: str
    tone: str
    caution: str


def todays_work(person, workshop, today):
    """Everything the page says, in a constant number of queries. Quotes and money only for the owner."""
    sights = look(Job.objects.visible_to(person).live().select_related("client"), person, workshop)
    ready = ready_tasks(sights)
    coming, late = _arrivals(today)
    context = {
        "ready": ready[:MOST], "more": max(len(ready) - MOST, 0), "running": _running(person), "coming": coming,
        "late": late, "silent": _silent(today), "care": _care(today), "to_give": _to_give(), "live": len(sights),
        "currency": workshop.currency, "ribbon": day_ribbon(sights, today),
    }  # fmt: skip
    if person.is_owner:
        context |= {"lapsing": _lapsing(sights, today), "owed": _owed(sights, workshop.currency)}
    return context


def ready_tasks(sights):
    """Tasks nobody is at and nothing holds up, in the order that protects promises; paused jobs rest."""
    found = []
    for sight in sights:
        if sight.job.paused_because:
            continue
        promise, _forecast, in_hand, tone = dates(sight.outlook)
        for state in sight.outlook.ready:
            found.append(
                Ready(
                    state.task.pk,
                    state.task.name,
                    str(sight.job),
                    sight.job.title,
                    reverse("labour:plan", args=[sight.job.number]),
                    left_text(tally_of(state.task, False).left),
                    in_hand or promise,
                    tone,
                    state.task.caution,
                )
            )
    return found


def _running(person):
    entries = HoursEntry.objects.running().select_related("task__job", "person")
    return [
        Line(
            entry.task.name, f"{entry.task.job} · {entry.person}", reverse("labour:plan", args=[entry.task.job.number]),
            clock_text(entry.length), entry.is_forgotten,
        )
        for entry in entries
    ]  # fmt: skip


def _arrivals(today):
    """(expected within a week, late): lines of placed orders of which something has yet to come."""
    lines = list(
        OrderLine.objects.outstanding_now()
        .filter(promised__lte=today + ARRIVALS)
        .select_related("order__supplier", "part")
        .order_by("promised", "pk")
    )
    trays = {}
    for line, tray, free in Share.objects.filter(line__in=lines).values_list(
        "line", "tray__name", "tray__is_free_shelf"
    ):
        trays.setdefault(line, []).append(_("the shelf") if free else tray)
    said_lines = [(line.promised < today, _arrival(line, trays.get(line.pk, []), today)) for line in lines]
    return [line for is_late, line in said_lines if not is_late], [line for is_late, line in said_lines if is_late]


def _arrival(line, trays, today):
    where = _("for %(trays)s from %(supplier)s, %(order)s") % {
        "trays": ", ".join(trays), "supplier": line.order.supplier.name, "order": line.order,
    }  # fmt: skip
    count = f"{line.outstanding.normalize():f} × {line.part.name}"
    return Line(count, where, reverse("orders:goods_in"), said(line.promised), line.promised < today)


def _silent(today):
    """Orders whose supplier has not confirmed a date yet, the oldest first."""
    rows = (
        OrderLine.objects.silent(today).order_by("order__placed_at")
        .values_list("order__number", "order__supplier__name", "order__placed_at")
    )  # fmt: skip
    return [
        Line(
            _("%(order)s, no word yet") % {"order": label("order", number)}, supplier,
            reverse("orders:order", args=[number]), said(timezone.localdate(placed)),
        )
        for number, supplier, placed in dict.fromkeys(rows)
    ][:MOST]  # fmt: skip


def _lapsing(sights, today):
    found = []
    for sight in sights:
        offer = sight.offer
        if offer is None or offer.state != Issue.State.SENT or not offer.valid_until:
            continue
        if offer.valid_until <= today + LAPSES:
            what = _("%(quote)s issue %(issue)s") % {"quote": label("quote", offer.quote), "issue": offer.issue}
            about = f"{sight.job} {sight.job.title} · {sight.job.client.name}"
            url = reverse("quotes:sheet", args=[sight.job.number])
            found.append((offer.valid_until, Line(what, about, url, said(offer.valid_until), offer.has_lapsed(today))))
    return [line for _day, line in sorted(found, key=lambda pair: pair[0])]


def _owed(sights, currency):
    """What clients owe: of live jobs, then of machines that left before all was paid."""
    gone = list(Bill.objects.after_the_end().select_related("client").order_by("-handed_over_at", "-number")[:MOST])
    due = Bill.objects.amount_due(gone) if gone else {}
    owed = [(sight.job, sight.due) for sight in sights] + [(job, due.get(job.pk)) for job in gone]
    return [
        Line(f"{job} {job.title}", job.client.name, reverse("quotes:money", args=[job.number]), money(sum_, currency))
        for job, sum_ in owed
        if sum_ and sum_ > 0
    ]


def _to_give():
    """What clients are still to get of machines that left."""
    owed = Owed.objects.open().select_related("pack__job").order_by("pack__on", "pk")[:MOST]
    return [
        Line(
            one.what, f"{one.pack.job} {one.pack.job.title}", reverse("handover:life", args=[one.pack.job.number]),
            said(one.pack.on),
        )
        for one in owed
    ]  # fmt: skip


def _care(today):
    dates_due = CareDate.objects.due_by(today + CARE).select_related("job")[:MOST]
    return [
        Line(
            care.what, f"{care.job} {care.job.title}", reverse("handover:life", args=[care.job.number]),
            said(care.due),
            care.due < today,
        )
        for care in dates_due
    ]  # fmt: skip
