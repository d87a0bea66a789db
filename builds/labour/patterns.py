"""What a plan is made from: kinds of work with their rates, and the workshop's own patterns."""

from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models, transaction
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from parts.workshop import audit
from parts.workshop.models import Versioned
from parts.workshop.refusal import Refused

from . import network

HOURS = {"max_digits": 6, "decimal_places": 2, "validators": [MinValueValidator(Decimal(0))]}
RATE = {"max_digits": 8, "decimal_places": 2, "validators": [MinValueValidator(Decimal(0))]}

# The gates a task may belong to; the proving room holds them (it stands further right, so its names are repeated).
GATES = [
    ("air", _("air test")), ("wet", _("wet test")), ("fill", _("fill and bleed")),
    ("electrical", _("electrical")), ("soak", _("soak test")),
]  # fmt: skip


class WorkKind(Versioned):
    """A kind of work with its rate: what a quote prices and hours are logged as."""

    name = models.CharField(_("name"), max_length=60, unique=True)
    rate = models.DecimalField(_("rate an hour"), **RATE)
    cost = models.DecimalField(_("cost an hour"), default=Decimal(0), **RATE)
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["position", "name"]

    def __str__(self):
        return self.name

    @property
    def leaves(self):
        """What an hour leaves after its cost."""
        return self.rate - self.cost


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
    proves = models.CharField(_("gate it belongs to"), max_length=12, blank=True, choices=GATES)

    class Meta:
        ordering = ["position", "pk"]
        constraints = [models.UniqueConstraint(fields=["pattern", "name"], name="pattern_task_once")]

    def __str__(self):
        return self.name

    def hours_for(self, count, own=None):
        """Low, likely and high hours for `count` of what the step is counted by.

        own: what the workshop's own hours teach of it (estimates.Learnt); from five jobs on their median is the
        likely figure and their 80th percentile the high one, until then the pattern's stand.
        """
        low, likely, high = self.hours_low, self.hours_likely, self.hours_high
        if own and own.is_enough:
            likely, high = Decimal(own.median), Decimal(own.most)
            low = min(low, likely)
        each = {"hours_low": low, "hours_likely": likely, "hours_high": high}
        return {name: (hours * count).quantize(Decimal("0.01")) for name, hours in each.items()}

    def recorded(self, by, verb, before=None, after=None):
        audit.record(by, verb, f"pattern {self.pattern}", {"step": self.name, **(before or {})}, after)

    @transaction.atomic
    def follow(self, befores, by):
        """Set what it comes after in its pattern. A circle is refused, naming the steps in it."""
        PlanPattern.objects.select_for_update().get(pk=self.pattern_id)
        steps = {step.pk: step for step in self.pattern.tasks.prefetch_related("after")}
        edges = {pk: [before.pk for before in step.after.all()] for pk, step in steps.items()}
        edges[self.pk] = [before.pk for before in befores]
        try:
            network.in_order(edges)
        except network.Circle as circle:
            path = " → ".join(steps[pk].name for pk in circle.path)
            raise Refused(
                _t("That goes in a circle: %(path)s. Take one step out.") % {"path": path}, field="after"
            ) from None
        self.after.set(befores)

    @transaction.atomic
    def remove(self, by):
        """Take it out; what followed it follows what it followed. Plans laid out before keep their task."""
        befores = list(self.after.all())
        for later in self.before.all():
            later.after.add(*befores)
        self.recorded(by, "removed", {"likely": self.hours_likely})
        self.delete()
