from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from builds.jobs.models import Job
from parts.workshop.models import Person, Versioned


class Gate(Versioned):
    """A test that must pass before hand-over."""

    class Kind(models.TextChoices):
        AIR = "air", _("air test")
        WET = "wet", _("wet test")
        FILL = "fill", _("fill and bleed")
        ELECTRICAL = "electrical", _("electrical")
        SOAK = "soak", _("soak test")

    class Verdict(models.TextChoices):
        OPEN = "open", _("not judged")
        PASSED = "passed", _("passed")
        FAILED = "failed", _("failed")
        WAIVED = "waived", _("waived")

    job = models.ForeignKey(Job, models.PROTECT, related_name="gates")
    kind = models.CharField(max_length=12, choices=Kind)
    position = models.PositiveSmallIntegerField(default=0)
    verdict = models.CharField(max_length=8, choices=Verdict, default=Verdict.OPEN)
    judged_at = models.DateTimeField(null=True, blank=True)
    judged_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    reason = models.TextField(_("reason"), blank=True)
    note = models.TextField(_("note"), blank=True)

    class Meta:
        ordering = ["position", "pk"]
        constraints = [models.UniqueConstraint(fields=["job", "kind"], name="gate_once_per_job")]

    def __str__(self):
        return f"{self.job} {self.get_kind_display()}"


class Reading(models.Model):
    """A measured value of a gate's test. Runs of a repeated test count up."""

    gate = models.ForeignKey(Gate, models.CASCADE, related_name="readings")
    run = models.PositiveSmallIntegerField(default=1)
    name = models.CharField(max_length=40)
    value = models.FloatField()
    unit = models.CharField(max_length=12)
    predicted_low = models.FloatField(null=True)
    predicted = models.FloatField(null=True)
    predicted_high = models.FloatField(null=True)
    person = models.ForeignKey(Person, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["run", "pk"]

    def __str__(self):
        return f"{self.name} {self.value} {self.unit}"
