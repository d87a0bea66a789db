"""Workshops full of invented jobs, for the board's tests and its benchmark."""

from datetime import timedelta
from decimal import Decimal
from itertools import pairwise

from django.utils import timezone

from builds.jobs.models import Job, Stage
from builds.labour.models import HoursEntry, Need, Precedes, Task
from builds.quotes.models import Issue, Quote, StagePayment
from builds.specs.models import Role, SpecLine, SpecVersion
from parts.orders.models import Order, OrderLine, Share
from parts.shelf.models import Place, Stock, Tray
from tests.factories import ClientFactory, PartFactory, PersonFactory, SupplierFactory, WorkKindFactory

WORDS = ["Strip", "Cut", "Rinse", "Fit up", "Blocks", "Plumb", "Air test", "Fill", "Soak", "Pack"]


def days(count):
    return timezone.localdate() + timedelta(days=count)


class Scene:
    """Makes jobs that stand at their benches with parts here, parts ordered and parts nobody ordered."""

    def __init__(self, parts=6, tasks=10):
        self.parts = [PartFactory(name=f"Part {n} of the scene") for n in range(parts)]
        self.words = (WORDS * 3)[:tasks]
        self.kind = WorkKindFactory()
        self.client = ClientFactory(name="Client of the scene")
        self.supplier = SupplierFactory()
        self.place = Place.objects.create(name="rack")
        self.person = PersonFactory(username="scene")

    def job(self, number, stage=Stage.BENCH, promise=30, title="A machine"):
        tray = Tray.objects.create(name=f"J-{number:04d}")
        job = Job.objects.create(
            number=number, title=f"{title} {number}", client=self.client, tray=tray, stage=stage,
            promise=days(promise) if promise is not None else None, purpose="work", room_warmest_c=26,
        )  # fmt: skip
        spec = SpecVersion.objects.create(job=job, number=1, agreed_at=timezone.now())
        roles = Role.objects.bulk_create(
            Role(job=job, kind="other", name=f"role {n}", position=n) for n in range(len(self.parts))
        )
        SpecLine.objects.bulk_create(
            SpecLine(spec=spec, role=role, part=part, quantity=2) for role, part in zip(roles, self.parts, strict=True)
        )
        tasks = self._plan(job, roles)
        self._parts(job)
        self._hours(tasks, number)
        self._quote(job, spec)
        return job

    def _plan(self, job, roles):
        tasks = Task.objects.bulk_create(
            Task(
                job=job, name=f"{word} {place}", work_kind=self.kind, position=place, hours_low=1, hours_likely=2,
                hours_high=4, quoted_hours=2, done_at=timezone.now() if place < 2 else None,
            )
            for place, word in enumerate(self.words)
        )  # fmt: skip
        Precedes.objects.bulk_create(Precedes(before=before, after=after) for before, after in pairwise(tasks))
        Need.objects.bulk_create(Need(task=task, role=roles[n % len(roles)]) for n, task in enumerate(tasks))
        return tasks

    def _parts(self, job):
        here, ordered = self.parts[: len(self.parts) // 2], self.parts[len(self.parts) // 2 : -1]
        Stock.objects.bulk_create(Stock(part=p, place=self.place, tray=job.tray, quantity=2) for p in here)
        order = Order.objects.create(number=job.number, supplier=self.supplier, placed_at=timezone.now())
        for part in ordered:
            line = OrderLine.objects.create(order=order, part=part, quantity=2, unit_price=5, promised=days(9))
            Share.objects.create(line=line, tray=job.tray, quantity=2)

    def _hours(self, tasks, number):
        start = timezone.now() - timedelta(days=number % 500 + 1, minutes=number)
        HoursEntry.objects.create(
            task=tasks[0], person=self.person, started_at=start, ended_at=start + timedelta(hours=1.5)
        )

    def _quote(self, job, spec):
        quote = Quote.objects.create(job=job, number=job.number)
        issue = Issue.objects.create(
            quote=quote, number=1, spec=spec, state="accepted", currency="EUR", margin_percent=15,
            decided_at=timezone.now(),
        )  # fmt: skip
        StagePayment.objects.create(issue=issue, name="deposit", amount=Decimal(1240))
