"""A job's bench plan: its tasks, what follows what, what each needs; with the patterns and hours beside it."""

from datetime import timedelta
from typing import NamedTuple

from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.db.models.functions import Cast, Coalesce
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from builds.jobs.models import Job, Stage
from builds.specs.models import Role
from parts.workshop import audit
from parts.workshop.models import Person, Versioned
from parts.workshop.refusal import Refused

from . import network
from .bench_time import Absence, BenchWeek
from .estimates import per_count
from .hours import HoursEntry
from .kept import KeptForecast
from .patterns import GATES, HOURS, PatternTask, PlanPattern, WorkKind
from .undone import work_undone

__all__ = [
    "Absence", "BenchWeek", "HoursEntry", "KeptForecast", "Need", "PatternTask", "PlanPattern", "Precedes", "Task",
    "WorkKind",
]  # fmt: skip


class Step(NamedTuple):
    """What readiness and the forecast need of a task: a plain row, as a board of many jobs reads thousands.

    Hours are floats: they are estimates and times, never money, and thousands of them are added up.
    """

    pk: int
    job_id: int
    name: str
    count: int
    hours_low: float
    hours_likely: float
    hours_high: float
    quoted_hours: float | None
    caution: str
    proves: str
    is_done: bool
    logged: float = 0.0
    running: bool = False


class AsFloat(Cast):
    """A number as a float, taken as the database gives it: converting each again is half of reading thousands."""

    def __init__(self, name):
        super().__init__(name, models.FloatField())

    def get_db_converters(self, connection):
        return []


_IS_DONE = models.Case(models.When(done_at=None, then=0), default=1)


class TaskQuerySet(models.QuerySet):
    def visible_to(self, person):
        """Everybody who works here sees every plan."""
        return self if person.is_authenticated else self.none()

    def with_hours(self):
        """Adds `logged_time`, running clocks up to now."""
        mine = HoursEntry.objects.filter(task=models.OuterRef("pk")).order_by()
        return self.annotate(
            logged_time=Coalesce(
                models.Subquery(mine.values("task").annotate(total=HoursEntry.time_until()).values("total")),
                timedelta(0),
                output_field=models.DurationField(),
            )
        )

    def steps(self, now=None):
        """The tasks as Steps, in the plan's order; two queries. now: up to when running clocks count."""
        spent = HoursEntry.objects.filter(task__in=self.order_by().values("pk")).spent(now)
        found = self.values_list(
            "pk", "job_id", "name", "count",
            *(AsFloat(name) for name in ("hours_low", "hours_likely", "hours_high", "quoted_hours")),
            "caution", "proves", _IS_DONE,
        )  # fmt: skip
        return [Step(*facts, done == 1, *spent.get(facts[0], ())) for *facts, done in found]

    def own_estimates(self):
        """{task id: how many own finished jobs its hours rest on} of tasks whose hours nobody has changed since."""
        taught = self.filter(laid_jobs__gt=0, hours_likely=models.F("laid_hours"))
        return dict(taught.order_by().values_list("pk", "laid_jobs"))

    def own_hours(self, pattern):
        """{pattern step id: [logged hours per count]} of finished tasks, one figure a job; one query."""
        done = self.filter(pattern_task__pattern=pattern, done_at__isnull=False).order_by()
        return per_count(done.with_hours().values_list("pattern_task", "count", "logged_time"))


class Task(Versioned):
    """A step of a job's bench plan."""

    job = models.ForeignKey(Job, models.CASCADE, related_name="tasks")
    pattern_task = models.ForeignKey(PatternTask, models.SET_NULL, null=True, blank=True, related_name="tasks")
    name = models.CharField(_("name"), max_length=80)
    work_kind = models.ForeignKey(WorkKind, models.PROTECT, related_name="tasks")
    position = models.PositiveSmallIntegerField(default=0)
    count = models.PositiveSmallIntegerField(default=1)
    hours_low = models.DecimalField(_("low"), **HOURS)
    hours_likely = models.DecimalField(_("likely"), **HOURS)
    hours_high = models.DecimalField(_("high"), **HOURS)
    quoted_hours = models.DecimalField(_("quoted"), null=True, blank=True, **HOURS)
    caution = models.TextField(_("caution"), blank=True)
    proves = models.CharField(_("gate it belongs to"), max_length=12, blank=True, choices=GATES)
    # The likely hours it was laid out with, and how many own finished jobs these rest on (0: the pattern's figure).
    laid_hours = models.DecimalField(null=True, blank=True, editable=False, max_digits=6, decimal_places=2)
    laid_jobs = models.PositiveSmallIntegerField(default=0, editable=False)
    done_at = models.DateTimeField(null=True, blank=True)
    done_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")

    objects = TaskQuerySet.as_manager()

    class Meta:
        ordering = ["position", "pk"]
        constraints = [models.UniqueConstraint(fields=["job", "pattern_task"], name="pattern_task_once_per_job")]

    def __str__(self):
        return self.name

    @property
    def about(self):
        """How the audit trail names it."""
        return f"task {self.job} {self.name}"

    @property
    def is_done(self):
        return self.done_at is not None

    def begun(self, by):
        """The first work on an agreed job brings it to the bench; before agreement a trial moves nothing."""
        if self.job.stage in (Stage.AGREED, Stage.GATHERING):
            self.job.reach(Stage.BENCH, by)

    @transaction.atomic
    def finish(self, by):
        """Mark it done; clocks that run on it stop. Order is advice: a task may be done before its predecessors."""
        if not self.job.is_live:
            raise Refused(_t("%(job)s is closed; its plan stands as it is.") % {"job": self.job})
        if self.is_done:
            return
        for entry in self.hours.filter(ended_at=None):
            entry.stop(by)
        self.done_at, self.done_by = timezone.now(), by
        self.save(update_fields=["done_at", "done_by"])
        audit.record(by, "done", self.about)
        self.begun(by)

    @transaction.atomic
    def reopen(self, by, reason=""):
        """Take the mark back, for a slip of the thumb or a gate that failed."""
        if not self.job.is_live:
            raise Refused(_t("%(job)s is closed; its plan stands as it is.") % {"job": self.job})
        if not self.is_done:
            return
        before = {"done_at": self.done_at, "done_by": self.done_by}
        self.done_at = self.done_by = None
        self.save(update_fields=["done_at", "done_by"])
        audit.record(by, "reopened", self.about, before, {"reason": reason})
        why = _t("“%(task)s” was opened again") % {"task": self.name} + (f": {reason}" if reason else "")
        kinds = set(self.needs.values_list("role__kind", flat=True))
        work_undone.send(Task, job=self.job, by=by, why=why, task=self, kinds=kinds)

    @transaction.atomic
    def follow(self, befores, by):
        """Set what it comes after. A circle is refused, naming the tasks in it."""
        befores = {task.pk for task in befores}
        edges = network_of(self.job)
        was = set(edges[self.pk])
        edges[self.pk] = sorted(befores)
        names = dict(self.job.tasks.values_list("pk", "name"))
        if befores - names.keys():
            raise Refused(_t("A task follows tasks of its own job only."), field="after")
        try:
            network.in_order(edges)
        except network.Circle as circle:
            path = " → ".join(names[pk] for pk in circle.path)
            raise Refused(
                _t("That goes in a circle: %(path)s. Take one step out.") % {"path": path}, field="after"
            ) from None
        if was == befores:
            return
        self.follows.exclude(before__in=befores).delete()
        Precedes.objects.bulk_create([Precedes(before_id=pk, after=self) for pk in befores - was])
        said = [{"after": ", ".join(names[pk] for pk in sorted(which))} for which in (was, befores)]
        audit.record(by, "put in order", self.about, *said)

    def clean(self):
        hours = [self.hours_low, self.hours_likely, self.hours_high]
        if None not in hours and hours != sorted(hours):
            raise ValidationError({"hours_likely": _t("Low, likely and high hours go upward.")})

    @transaction.atomic
    def need(self, roles, by):
        """Set the roles whose parts it needs on the bench."""
        wanted = {role.pk: role for role in roles if role.job_id == self.job_id}
        was = {need.role_id: need.role for need in self.needs.select_related("role")}
        if wanted.keys() == was.keys():
            return
        self.needs.exclude(role__in=wanted).delete()
        Need.objects.bulk_create([Need(task=self, role_id=pk) for pk in wanted.keys() - was.keys()])
        said = [{"needs": ", ".join(sorted(role.name for role in which.values()))} for which in (was, wanted)]
        audit.record(by, "changed the needs of", self.about, *said)

    @transaction.atomic
    def shift(self, by, up):
        """Move one line up or down in the list; a task never stands above one that it follows."""
        tasks = list(Task.objects.select_for_update().filter(job=self.job))
        place = next(number for number, task in enumerate(tasks) if task.pk == self.pk)
        other = place - 1 if up else place + 1
        if not 0 <= other < len(tasks):
            return
        first, then = sorted((place, other))
        if tasks[first].pk in network.before_all(network_of(self.job), tasks[then].pk):
            raise Refused(
                _t("“%(then)s” comes after “%(first)s”. Change what it follows, then move it.")
                % {"then": tasks[then].name, "first": tasks[first].name}
            )
        tasks[place], tasks[other] = tasks[other], tasks[place]
        for number, task in enumerate(tasks):
            task.position = number
        Task.objects.bulk_update(tasks, ["position"])
        audit.record(by, "moved up" if up else "moved down", self.about, after={"line": other + 1})

    @transaction.atomic
    def remove(self, by):
        """Take an untouched task out of the plan; what followed it follows what it followed."""
        if self.is_done or self.hours.exists():
            raise Refused(
                _t("“%(task)s” has work in it and stays in the record. Mark it done, or move its hours first.")
                % {"task": self.name}
            )
        befores, afters = [
            list(self.follows.values_list("before", flat=True)),
            list(self.leads_to.values_list("after", flat=True)),
        ]
        Precedes.objects.bulk_create(
            [Precedes(before_id=b, after_id=a) for b in befores for a in afters], ignore_conflicts=True
        )
        audit.record(by, "removed", self.about, {"hours": self.hours_likely, "quoted": self.quoted_hours})
        self.delete()


class Precedes(models.Model):
    """One task comes before another."""

    before = models.ForeignKey(Task, models.CASCADE, related_name="leads_to")
    after = models.ForeignKey(Task, models.CASCADE, related_name="follows")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["before", "after"], name="precedes_once"),
            models.CheckConstraint(condition=~models.Q(before=models.F("after")), name="not_before_itself"),
        ]

    def __str__(self):
        return f"{self.before} → {self.after}"


class Need(models.Model):
    """A task needs the part of a role on the bench."""

    task = models.ForeignKey(Task, models.CASCADE, related_name="needs")
    role = models.ForeignKey(Role, models.CASCADE, related_name="needed_by")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["task", "role"], name="need_once")]

    def __str__(self):
        return f"{self.task} needs {self.role}"


def network_of(job):
    """{task id: ids it comes after} of a job's whole plan, in the plan's order."""
    edges = {pk: [] for pk in job.tasks.values_list("pk", flat=True)}
    for before, after in Precedes.objects.filter(after__job=job).values_list("before", "after"):
        edges[after].append(before)
    return edges
