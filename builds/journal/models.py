"""The journal of a build: dated text and photos, private until shared with the client."""

from django.db import models, transaction
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from builds.jobs.models import Job
from builds.labour.models import Task
from parts.workshop import audit
from parts.workshop.models import Person, Versioned
from parts.workshop.photos import Photo
from parts.workshop.refusal import Refused


class EntryQuerySet(models.QuerySet):
    def visible_to(self, person):
        """Everybody who works here reads the whole journal."""
        return self if person.is_authenticated else self.none()

    def shared(self):
        """What the client may see."""
        return self.filter(shared_at__isnull=False)


class JournalEntry(Versioned):
    """What was done or seen on a day. Shared with the client by choice; published further only with consent."""

    job = models.ForeignKey(Job, models.CASCADE, related_name="journal")
    task = models.ForeignKey(Task, models.SET_NULL, null=True, blank=True, related_name="journal")
    stage = models.CharField(max_length=12)
    on = models.DateField(_("day"), default=timezone.localdate)
    text = models.TextField(_("what was done or seen"), blank=True)
    person = models.ForeignKey(Person, models.PROTECT, related_name="journal")
    written_at = models.DateTimeField(default=timezone.now)
    shared_at = models.DateTimeField(null=True, blank=True)
    consent_on = models.DateField(_("consent given on"), null=True, blank=True)
    consent_by = models.CharField(_("who gave it"), max_length=120, blank=True)

    objects = EntryQuerySet.as_manager()

    class Meta:
        ordering = ["-on", "-pk"]

    def __str__(self):
        return f"{self.job} {date_format(self.on)}"

    @property
    def about(self):
        return f"journal {self.pk}"

    @classmethod
    @transaction.atomic
    def write(cls, *, job, by, on, text, task=None, photos=()):
        """Write an entry with a text, photos (CleanPhotos) or both; Refused with neither."""
        if not (text.strip() or photos):
            raise Refused(_t("Write what was done or seen, or add a photo."), "text")
        entry = cls(job=job, person=by, stage=job.stage, task=task, on=on, text=text)
        entry._check(job)
        entry.save()
        audit.record(by, "wrote", entry.about, after={"job": str(job), "day": on, "text": text})
        for photo in photos:
            entry.add_photo(photo, by)
        return entry

    @transaction.atomic
    def correct(self, *, by, on, text, task=None):
        """Change day, text or task; what stood there stays in the audit trail."""
        if not (text.strip() or self.photos.exists()):
            raise Refused(_t("Write what was done or seen, or add a photo."), "text")
        before = {"day": self.on, "text": self.text, "task": self.task and self.task.name}
        self.on, self.text, self.task = on, text, task
        self._check(self.job)
        self.save(update_fields=["on", "text", "task"])
        audit.record(by, "corrected", self.about, before, {"day": on, "text": text, "task": task and task.name})

    def _check(self, job):
        if self.on > timezone.localdate():
            raise Refused(_t("That day has not come yet; give today or an earlier one."), "on")
        if self.task and self.task.job_id != job.pk:
            raise Refused(_t("A journal names tasks of its own job only."), "task")

    @transaction.atomic
    def add_photo(self, photo, by):
        """Keep a cleaned photo with the entry."""
        kept = EntryPhoto.objects.create(entry=self, photo=Photo.keep(photo, by), position=self.photos.count())
        audit.record(by, "added a photo", self.about, after={"photo": kept.photo.sha256})
        return kept

    @transaction.atomic
    def share(self, by):
        """Show it on the client's page from now on."""
        if self.shared_at is None:
            self.shared_at = timezone.now()
            self.save(update_fields=["shared_at"])
            audit.record(by, "shared with the client", self.about)

    @transaction.atomic
    def take_back(self, by):
        """Private again; a consent to publish it does not outlive that."""
        if self.shared_at is None:
            return
        before = {"shared": self.shared_at, "consent": self.consent_on, "by": self.consent_by}
        self.shared_at, self.consent_on, self.consent_by = None, None, ""
        self.save(update_fields=["shared_at", "consent_on", "consent_by"])
        audit.record(by, "made private", self.about, before)

    @transaction.atomic
    def consent(self, *, by, on, name):
        """Write down that the client agreed, on a day, that it may be published; only of what he has seen."""
        if self.shared_at is None:
            raise Refused(_t("Share it with the client first: nobody agrees to what he has not seen."))
        if on > timezone.localdate():
            raise Refused(_t("That day has not come yet; give the day on which consent was given."), "on")
        before = {"consent": self.consent_on, "by": self.consent_by}
        self.consent_on, self.consent_by = on, name
        self.save(update_fields=["consent_on", "consent_by"])
        audit.record(by, "noted consent to publish", self.about, before, {"consent": on, "by": name})


class EntryPhoto(models.Model):
    """A photo of an entry."""

    entry = models.ForeignKey(JournalEntry, models.CASCADE, related_name="photos")
    photo = models.ForeignKey(Photo, models.PROTECT, related_name="+")
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["position", "pk"]

    def __str__(self):
        return f"{self.entry} photo {self.position + 1}"
