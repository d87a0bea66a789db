from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from builds.jobs.models import Job
from builds.sheets.models import Document
from parts.workshop.models import Person


class Pack(models.Model):
    """The hand-over pack: what left with the machine, frozen."""

    WAYS = [("collected", _("collected")), ("delivered", _("delivered")), ("shipped", _("shipped"))]
    job = models.OneToOneField(Job, models.PROTECT, related_name="pack")
    document = models.ForeignKey(Document, models.PROTECT, related_name="+")
    way = models.CharField(_("how it left"), max_length=10, choices=WAYS, default="collected")
    filled = models.BooleanField(_("left filled with coolant"), default=True)
    received_by = models.CharField(_("received by"), max_length=120)
    at = models.DateTimeField(default=timezone.now)
    person = models.ForeignKey(Person, models.PROTECT, related_name="+")

    def __str__(self):
        return f"pack of {self.job}"


class CareDate(models.Model):
    """Something the machine wants done by a date."""

    job = models.ForeignKey(Job, models.CASCADE, related_name="care_dates")
    due = models.DateField(_("due"))
    what = models.CharField(_("what"), max_length=160)
    done_by = models.ForeignKey(Job, models.SET_NULL, null=True, blank=True, related_name="+")
    done_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["due", "pk"]

    def __str__(self):
        return f"{self.due} {self.what}"
