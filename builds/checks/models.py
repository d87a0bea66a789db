from django.db import models
from django.utils import timezone

from builds.jobs.models import Job
from parts.workshop.models import Person


class Waiver(models.Model):
    """A recorded reason for going on despite a stop or caution; void as soon as the finding's numbers change."""

    job = models.ForeignKey(Job, models.CASCADE, related_name="waivers")
    rule = models.CharField(max_length=60)
    fingerprint = models.CharField(max_length=64, help_text="Hash of rule, roles, parts and numbers of the finding.")
    sentence = models.TextField()
    reason = models.TextField()
    person = models.ForeignKey(Person, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["job", "fingerprint"], name="waived_once")]

    def __str__(self):
        return f"{self.job}: {self.rule} waived"
