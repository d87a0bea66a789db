from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from builds.jobs.models import Job
from parts.workshop import audit
from parts.workshop.models import Person
from parts.workshop.refusal import Refused

from .findings import NOTE


class WaiverQuerySet(models.QuerySet):
    def carry_over(self, old, new):
        """Let what was waived for one job stand for another of the same machine, with who said so and when."""
        waivers = list(self.filter(job=old))
        for waiver in waivers:
            waiver.pk, waiver.job = None, new
            waiver._state.adding = True
        return self.bulk_create(waivers)

    @transaction.atomic
    def grant(self, job, finding, reason, by):
        """Record why a job goes on despite a finding. Raises Refused without a reason, or for a note."""
        reason = reason.strip()
        if not reason:
            raise Refused(_("Write the reason: who looked at it, and why it is good all the same."), "reason")
        if finding.severity == NOTE:
            raise Refused(_("A note needs no waiver."), "reason")
        waiver, _made = self.update_or_create(
            job=job,
            fingerprint=finding.fingerprint,
            defaults={
                "rule": finding.rule, "sentence": finding.sentence, "reason": reason, "person": by,
                "at": timezone.now(),
            },
        )  # fmt: skip
        audit.record(by, "waived", f"job {job}", after={"finding": finding.sentence, "reason": reason})
        return waiver


class Waiver(models.Model):
    """A recorded reason for going on despite a stop or caution; void as soon as the finding's numbers change."""

    job = models.ForeignKey(Job, models.CASCADE, related_name="waivers")
    rule = models.CharField(max_length=60)
    fingerprint = models.CharField(max_length=64, help_text="Hash of rule, roles, parts and numbers of the finding.")
    sentence = models.TextField()
    reason = models.TextField()
    person = models.ForeignKey(Person, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    objects = WaiverQuerySet.as_manager()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["job", "fingerprint"], name="waived_once")]

    def __str__(self):
        return f"{self.job}: {self.rule} waived"

    @transaction.atomic
    def withdraw(self, by):
        """Let the finding stand again."""
        self.delete()
        before = {"finding": self.sentence, "reason": self.reason}
        audit.record(by, "waiver withdrawn", f"job {self.job}", before)
