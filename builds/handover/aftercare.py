"""What a machine wants done after it left: its care dates, and the private links to them as a calendar."""

import uuid

from django.core import signing
from django.db import models, transaction
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from builds.jobs.models import Job
from parts.shelf.models import months_later
from parts.workshop import audit
from parts.workshop.refusal import Refused


class CareDateQuerySet(models.QuerySet):
    def open(self):
        return self.filter(done_on=None)

    def due_by(self, day):
        """What is open and due by a day, the longest due first."""
        return self.open().filter(due__lte=day)


class CareDate(models.Model):
    """Something the machine wants done by a date.

    months: done, it comes again after so many; None for once. uid: its name in calendars. told_client_on,
    told_owner_on: when a reminder of it went out. done_by: the service that did it, if one did.
    """

    job = models.ForeignKey(Job, models.CASCADE, related_name="care_dates")
    due = models.DateField(_("due"))
    what = models.CharField(_("what"), max_length=160)
    months = models.PositiveSmallIntegerField(null=True, blank=True)
    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    told_client_on = models.DateField(null=True, blank=True)
    told_owner_on = models.DateField(null=True, blank=True)
    done_by = models.ForeignKey(Job, models.SET_NULL, null=True, blank=True, related_name="+")
    done_on = models.DateField(null=True, blank=True)
    remark = models.CharField(_("what was seen"), max_length=200, blank=True)

    objects = CareDateQuerySet.as_manager()

    class Meta:
        ordering = ["due", "pk"]

    def __str__(self):
        return f"{self.due} {self.what}"

    def _left_on(self):
        """The day the machine left: as its pack says, which may be written later; None while nobody knows."""
        if pack := getattr(self.job, "pack", None):
            return pack.on
        return self.job.handed_over_at and timezone.localdate(self.job.handed_over_at)

    @transaction.atomic
    def mark_done(self, by, on=None, remark="", service=None):
        """Say that it was done, by a service job or by anybody; what comes again gets its next date, returned."""
        care = CareDate.objects.select_for_update(of=("self",)).select_related("job").get(pk=self.pk)
        on = on or timezone.localdate()
        if care.done_on:
            raise Refused(_t("This was marked done already, on %(day)s.") % {"day": date_format(care.done_on)})
        if on > timezone.localdate():
            raise Refused(_t("Type the day it was done, today or earlier; this one is still to come."), "on")
        if (left := care._left_on()) and on < left:
            raise Refused(_t("That day lies before the machine was handed over; type the day it was done."), "on")
        care.done_on, care.done_by, care.remark = on, service, remark.strip()
        care.save(update_fields=["done_on", "done_by", "remark"])
        self.done_on, self.done_by, self.remark = care.done_on, care.done_by, care.remark
        after = {"what": care.what, "on": on, "service": service and str(service), "remark": care.remark}
        audit.record(by, "care done", f"job {care.job}", {"due": care.due}, after)
        if not care.months:
            return None
        return CareDate.objects.create(job=care.job, due=months_later(on, care.months), what=care.what,
                                       months=care.months)  # fmt: skip


class CalendarLink(models.Model):
    """A private link to care dates as a calendar: of one machine, or of all (job None).

    The link's text is signed, not stored; `turn` counts how often it was made anew, and older ones stay shut.
    """

    job = models.OneToOneField(Job, models.CASCADE, null=True, related_name="calendar_link")
    turn = models.PositiveIntegerField(default=1)
    made_at = models.DateTimeField(default=timezone.now)

    def __str__(self):
        return f"calendar of {self.job or 'all machines'}"

    @staticmethod
    def _signer():
        return signing.Signer(salt="handover.calendar", sep=".")

    @classmethod
    def of(cls, job=None):
        """The link of a machine or of all; None before one was made."""
        return cls.objects.filter(job=job).first()

    @classmethod
    @transaction.atomic
    def make_anew(cls, job, by):
        """The link, made or made anew; whoever has an older one is shut out."""
        link = cls.objects.select_for_update().filter(job=job).first()
        if link is None:
            link = cls.objects.create(job=job)
        else:
            link.turn, link.made_at = link.turn + 1, timezone.now()
            link.save(update_fields=["turn", "made_at"])
        audit.record(by, "made calendar link", f"job {job}" if job else "care dates", after={"turn": link.turn})
        return link

    @property
    def token(self):
        return self._signer().sign(f"{self.pk}-{self.turn}")

    @classmethod
    def holding(cls, token):
        """The link whose present token this is; None for a guess or an old one."""
        try:
            pk, _dash, turn = cls._signer().unsign(token).partition("-")
        except signing.BadSignature:
            return None
        return cls.objects.select_related("job").filter(pk=int(pk), turn=int(turn)).first()

    @property
    def care_dates(self):
        """What stands in the calendar."""
        dates = CareDate.objects.open().select_related("job")
        return dates.filter(job=self.job) if self.job_id else dates
