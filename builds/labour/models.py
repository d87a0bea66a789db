from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from builds.jobs.models import Job
from builds.specs.models import Role
from parts.workshop.models import Person, Versioned

HOURS = {"max_digits": 6, "decimal_places": 2, "validators": [MinValueValidator(Decimal(0))]}


class WorkKind(Versioned):
    """A kind of work with its rate: what a quote prices and hours are logged as."""

    name = models.CharField(_("name"), max_length=60, unique=True)
    rate = models.DecimalField(
        _("rate an hour"), max_digits=8, decimal_places=2, validators=[MinValueValidator(Decimal(0))]
    )
    cost = models.DecimalField(
        _("cost an hour"),
        max_digits=8,
        decimal_places=2,
        default=Decimal(0),
        validators=[MinValueValidator(Decimal(0))],
    )
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["position", "name"]

    def __str__(self):
        return self.name


class PlanPattern(Versioned):
    """The workshop's own list of tasks for a kind of machine."""

    name = models.CharField(_("name"), max_length=80, unique=True)

    class Meta:
        ordering = ["name"]

    def __str__(self):
        return self.name


class PatternTask(models.Model):
    """A step of a pattern: hours for one of what it counts, what it follows, what it needs on the bench."""

    PER = [
        ("job", _("job")), ("radiator", _("radiator")), ("block", _("block")), ("fan", _("fan")),
        ("fitting", _("fitting")), ("cable", _("cable")), ("run", _("tube run")),
    ]  # fmt: skip
    pattern = models.ForeignKey(PlanPattern, models.CASCADE, related_name="tasks")
    name = models.CharField(_("name"), max_length=80)
    work_kind = models.ForeignKey(WorkKind, models.PROTECT, related_name="+")
    position = models.PositiveSmallIntegerField(default=0)
    per = models.CharField(_("hours are for each"), max_length=10, choices=PER, default="job")
    hours_low = models.DecimalField(_("low"), **HOURS)
    hours_likely = models.DecimalField(_("likely"), **HOURS)
    hours_high = models.DecimalField(_("high"), **HOURS)
    after = models.ManyToManyField("self", symmetrical=False, blank=True, related_name="before")
    needs_kinds = models.JSONField(_("kinds of part it needs"), default=list, blank=True)
    caution = models.TextField(_("caution"), blank=True)
    proves = models.CharField(_("gate it belongs to"), max_length=12, blank=True)

    class Meta:
        ordering = ["position", "pk"]
        constraints = [models.UniqueConstraint(fields=["pattern", "name"], name="pattern_task_once")]

    def __str__(self):
        return self.name


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
    proves = models.CharField(max_length=12, blank=True)
    done_at = models.DateTimeField(null=True, blank=True)
    done_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        ordering = ["position", "pk"]

    def __str__(self):
        return self.name


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


class HoursEntry(Versioned):
    """A logged stretch of work; no end while the clock runs."""

    task = models.ForeignKey(Task, models.PROTECT, related_name="hours")
    person = models.ForeignKey(Person, models.PROTECT, related_name="hours")
    started_at = models.DateTimeField(_("from"), default=timezone.now)
    ended_at = models.DateTimeField(_("until"), null=True, blank=True)
    note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta:
        ordering = ["-started_at"]
        constraints = [
            models.UniqueConstraint(fields=["person"], condition=models.Q(ended_at=None), name="one_running_clock"),
            models.CheckConstraint(
                condition=models.Q(ended_at=None) | models.Q(ended_at__gt=models.F("started_at")),
                name="ends_after_start",
            ),
        ]

    def __str__(self):
        return f"{self.person} on {self.task}"
