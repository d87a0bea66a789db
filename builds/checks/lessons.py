"""What the soak tests of finished jobs teach the next prediction.

Only the readings are kept; factors and prior are worked out from them, so that a reading set aside has never counted.
"""

import hashlib
import json
from dataclasses import dataclass
from functools import lru_cache

from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from builds.jobs.models import Job
from parts.workshop import audit
from parts.workshop.models import Person
from parts.workshop.refusal import Refused

from .solving import prior_of, text_of


class SoakLessonQuerySet(models.QuerySet):
    @transaction.atomic
    def teach(self, job, readings, by):
        """Keep what a job's passed soak test read, in place of what it read before; None where nothing was read.

        readings: [{"loop": document with load and room as measured, "coolant": °C or None, "node": component whose
        inlet the sensor sits at or "" for the loop's mean, "parts": {block: °C}}].
        """
        old = self.filter(job=job).first()
        if not readings:
            self.withdraw(job, by)
            return None
        if old is not None and old.readings == readings:
            return old
        self.filter(job=job).delete()
        lesson = self.create(job=job, readings=readings, digest=_digest(readings), person=by)
        audit.record(by, "taught", f"job {job}", after={"readings": lesson.said})
        return lesson

    @transaction.atomic
    def withdraw(self, job, by):
        """Let a job teach nothing, as when its soak test fails: what is wrong with it is no property of the others."""
        for lesson in self.filter(job=job):
            audit.record(by, "taught no more", f"job {job}", before={"readings": lesson.said})
            lesson.delete()

    def counting(self):
        return self.filter(aside_at=None)

    def prior(self):
        """The prior that all counting lessons leave, as the text a build holds; "" before the first. One query."""
        digests = tuple(self.counting().values_list("digest", flat=True))
        return _prior_after(digests) if digests else ""


class SoakLesson(models.Model):
    """One job's soak readings, averaged, that teach the workshop's common factors."""

    job = models.OneToOneField(Job, models.CASCADE, related_name="soak_lesson")
    readings = models.JSONField()
    digest = models.CharField(max_length=64)
    at = models.DateTimeField(default=timezone.now)
    person = models.ForeignKey(Person, models.PROTECT, related_name="+")
    aside_reason = models.CharField(_("why it does not count"), max_length=300, blank=True)
    aside_at = models.DateTimeField(null=True, blank=True)
    aside_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")

    objects = SoakLessonQuerySet.as_manager()

    class Meta:
        ordering = ["at", "pk"]

    def __str__(self):
        return f"lesson of {self.job}"

    @property
    def said(self):
        """Its temperatures in words, for the record."""
        temperatures = [{"coolant": one["coolant"], **one["parts"]} for one in self.readings]
        return "; ".join(f"{name} {value} °C" for one in temperatures for name, value in one.items())

    @transaction.atomic
    def set_aside(self, reason, by):
        """Let it count no more. Raises Refused without a reason."""
        if not reason.strip():
            raise Refused(_t("Say why it is not to count, as in “a fan was turned round”."), "reason")
        self.aside_reason, self.aside_by, self.aside_at = reason.strip(), by, timezone.now()
        self.save(update_fields=["aside_reason", "aside_by", "aside_at"])
        audit.record(by, "set aside", f"soak lesson {self.job}", after={"reason": self.aside_reason})

    @transaction.atomic
    def take_back(self, by):
        """Let it count again."""
        before = {"reason": self.aside_reason}
        self.aside_reason, self.aside_by, self.aside_at = "", None, None
        self.save(update_fields=["aside_reason", "aside_by", "aside_at"])
        audit.record(by, "taken back", f"soak lesson {self.job}", before=before)


@dataclass(frozen=True)
class Taught:
    """What one lesson did. steps: thermal.learning's Step of each reading; faults: why a reading taught nothing."""

    lesson: SoakLesson
    before: object
    after: object
    steps: tuple = ()
    faults: tuple = ()

    @property
    def flagged(self):
        """Names of readings that looked absurd and counted for less."""
        return tuple(name for step in self.steps for name in step.flagged)


def course(lessons):
    """[Taught] of lessons in their order; one set aside teaches nothing."""
    prior, found = prior_of(""), []
    for lesson in lessons:
        steps, faults = ((), ()) if lesson.aside_at else _learn(lesson.readings, prior)
        after = steps[-1].after if steps else prior
        found.append(Taught(lesson, prior, after, steps, faults))
        prior = after
    return found


def _learn(readings, prior):
    steps, faults = [], []
    for reading in readings:
        step, fault = _step(text_of(reading), prior)
        if step is None:
            faults.append(fault)
        else:
            steps.append(step)
            prior = step.after
    return tuple(steps), tuple(faults)


@lru_cache(maxsize=1024)
def _step(reading, prior):
    """(Step, "") that one reading as JSON text makes from a Prior, or (None, why it makes none)."""
    from thermal.document import read_loop
    from thermal.faults import LoopFault
    from thermal.learning import SoakReading, learn

    told = json.loads(reading)
    try:
        loop = read_loop(told["loop"])
        read = SoakReading(job="soak", loop=loop, coolant=told["coolant"], node=told["node"], parts=told["parts"])
        return learn([read], prior).steps[0], ""
    except LoopFault as fault:
        return None, str(fault).removeprefix("soak.")


@lru_cache(maxsize=64)
def _prior_after(digests):
    """The prior's text after the readings of these digests, in this order. Content decides it, so it may be kept."""
    known = dict(SoakLesson.objects.filter(digest__in=digests).values_list("digest", "readings"))
    prior = prior_of("")
    for digest in digests:
        steps, _faults = _learn(known[digest], prior)
        prior = steps[-1].after if steps else prior
    return text_of(prior.document())


def _digest(readings):
    return hashlib.sha256(text_of(readings).encode()).hexdigest()
