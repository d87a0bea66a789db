"""Hours: one running clock a person, entries by hand, corrections that leave their history."""

from datetime import timedelta
from decimal import Decimal

from django.db import models, transaction
from django.db.models.functions import Coalesce
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from parts.workshop import audit
from parts.workshop.models import Person, Versioned
from parts.workshop.refusal import Refused

# A clock that ran longer was forgotten: the person says when the work ended, the tool never guesses.
FORGOTTEN = timedelta(hours=12)
LONGEST = timedelta(hours=24)


def in_hours(stretch):
    """A stretch of time as decimal hours to the hundredth.

    >>> in_hours(timedelta(minutes=100))
    Decimal('1.67')
    """
    return (Decimal(stretch // timedelta(seconds=1)) / 3600).quantize(Decimal("0.01"))


def _local(moment):
    return date_format(timezone.localtime(moment), "D j M H:i")


class HoursQuerySet(models.QuerySet):
    def visible_to(self, person):
        """The owner sees everybody's hours; the workshop role sees and corrects its own."""
        return self if person.is_owner else self.filter(person=person)

    def running(self):
        return self.filter(ended_at=None)

    def running_of(self, person):
        """A person's running clock with its task and job, or None."""
        return self.running().filter(person=person).select_related("task__job").first()

    def spent(self, now=None):
        """{task id: (hours logged, whether a clock runs)}; running clocks count up to now. One query."""
        runs = models.Count("pk", filter=models.Q(ended_at=None))
        found = self.order_by().values_list("task").annotate(time=HoursEntry.time_until(now), runs=runs)
        return {task: (round(time.total_seconds() / 3600, 2), running > 0) for task, time, running in found}

    def touching(self, person, start, end):
        """Entries of a person that share time with the stretch from start to end (None: still open)."""
        found = self.filter(person=person).filter(models.Q(ended_at=None) | models.Q(ended_at__gt=start))
        return found if end is None else found.filter(started_at__lt=end)


class HoursEntry(Versioned):
    """A logged stretch of work; no end while the clock runs."""

    task = models.ForeignKey("builds.Task", models.PROTECT, related_name="hours")
    person = models.ForeignKey(Person, models.PROTECT, related_name="hours")
    started_at = models.DateTimeField(_("from"), default=timezone.now)
    ended_at = models.DateTimeField(_("until"), null=True, blank=True)
    note = models.CharField(_("note"), max_length=200, blank=True)

    objects = HoursQuerySet.as_manager()

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

    @staticmethod
    def time_until(now=None):
        """Aggregate: the time of entries together, running ones up to now."""
        until = Coalesce("ended_at", models.Value(now or timezone.now(), output_field=models.DateTimeField()))
        return models.Sum(until - models.F("started_at"), output_field=models.DurationField())

    @property
    def about(self):
        """How the audit trail names it: by its number, as a correction may put it on another task."""
        return f"hours {self.pk}"

    @property
    def length(self):
        """Time worked; of a running clock, so far."""
        return (self.ended_at or timezone.now()) - self.started_at

    @property
    def hours(self):
        return in_hours(self.length)

    @property
    def is_forgotten(self):
        return self.ended_at is None and self.length > FORGOTTEN

    @classmethod
    @transaction.atomic
    def start(cls, task, by):
        """Start a person's clock on a task; a clock that runs on another one stops at that moment.

        Returns the new entry, and the stopped one or None. A forgotten clock has to be ended first.
        """
        if not task.job.is_live:
            raise Refused(_t("%(job)s is closed; log later work in a service job.") % {"job": task.job})
        if task.is_done:
            raise Refused(_t("“%(task)s” is done. Undo that first, then start the clock.") % {"task": task.name})
        Person.objects.select_for_update().get(pk=by.pk)
        running = cls.objects.running_of(by)
        if running and running.task_id == task.pk:
            return running, None
        now = timezone.now()
        if running:
            running.stop(by, now)
        entry = cls.objects.create(task=task, person=by, started_at=now)
        audit.record(by, "started the clock", entry.about, after={"task": f"{task.job} {task}", "from": now})
        task.begun(by)
        return entry, running

    @transaction.atomic
    def stop(self, by, at=None):
        """Stop the clock now. One that ran over 12 hours is refused: `correct` it with its real end."""
        if self.is_forgotten:
            raise Refused(
                _t("The clock on “%(task)s” has run since %(since)s. Say when the work really ended.")
                % {"task": self.task.name, "since": _local(self.started_at)},
                field="ended_at",
            )
        if self.ended_at is None:
            self.ended_at = max(at or timezone.now(), self.started_at + timedelta(seconds=1))
            self.save(update_fields=["ended_at"])
            audit.record(by, "stopped the clock", self.about, {"from": self.started_at}, {"until": self.ended_at})

    @classmethod
    @transaction.atomic
    def enter(cls, *, task, person, started_at, ended_at, by, note=""):
        """Log a stretch by hand."""
        entry = cls(task=task, person=person, started_at=started_at, ended_at=ended_at, note=note)
        if ended_at is None:
            raise Refused(_t("Say until when, or how long."), field="ended_at")
        entry._check()
        entry.save()
        audit.record(by, "logged hours", entry.about, after=entry._said())
        task.begun(by)
        return entry

    @transaction.atomic
    def correct(self, *, by, **changed):
        """Change task, started_at, ended_at or note; the entry as it was stays in the audit trail."""
        before = self._said()
        was_running = self.ended_at is None
        for name in changed.keys() & {"task", "started_at", "ended_at", "note"}:
            setattr(self, name, changed[name])
        if self.ended_at is None and (not was_running or self.is_forgotten):
            raise Refused(_t("Say until when, or how long."), field="ended_at")
        self._check()
        self.save()
        audit.record(by, "corrected hours", self.about, before, self._said())

    @transaction.atomic
    def remove(self, by):
        """Take an entry out; all it said stays in the audit trail."""
        audit.record(by, "removed hours", self.about, before=self._said())
        self.delete()

    def _said(self):
        return {
            "person": str(self.person), "task": f"{self.task.job} {self.task}",
            "from": self.started_at, "until": self.ended_at, "note": self.note,
        }  # fmt: skip

    def _check(self):
        """Refuse what cannot have been: an end before its start, the future, two stretches at once."""
        now = timezone.now()
        Person.objects.select_for_update().get(pk=self.person_id)
        if self.started_at > now:
            raise Refused(
                _t("That has not begun yet: give a time before %(now)s.") % {"now": _local(now)}, "started_at"
            )
        if self.ended_at and self.ended_at <= self.started_at:
            raise Refused(
                _t("It ends before it starts; give an end after %(start)s.") % {"start": _local(self.started_at)},
                "ended_at",
            )
        if self.ended_at and self.ended_at - self.started_at > LONGEST:
            raise Refused(_t("That is more than a day at a stretch; log each day by itself."), "ended_at")
        if self.ended_at and self.ended_at > now:
            raise Refused(_t("That is not over yet: give an end before %(now)s.") % {"now": _local(now)}, "ended_at")
        others = HoursEntry.objects.touching(self.person, self.started_at, self.ended_at).exclude(pk=self.pk)
        other = others.select_related("task__job").first()
        if other:
            until = _local(other.ended_at) if other.ended_at else _t("now")
            raise Refused(
                _t("%(person)s was on %(job)s “%(task)s” from %(start)s until %(end)s. Change one of the two.")
                % {
                    "person": self.person, "job": other.task.job, "task": other.task.name,
                    "start": _local(other.started_at), "end": until,
                },
                "started_at",
            )  # fmt: skip
