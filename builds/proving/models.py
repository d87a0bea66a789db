from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from builds.jobs.models import Job, Stage
from builds.labour.models import Task
from parts.workshop import audit
from parts.workshop.models import Person, Versioned
from parts.workshop.photos import Photo
from parts.workshop.refusal import Refused

from .judgement import FAILED, OPEN, PASSED
from .lesson import teach
from .limits import ProvingLimits
from .methods import AFTER, METHODS


class GateQuerySet(models.QuerySet):
    def of(self, job):
        """A job's gates with their trials, readings and photos, in four queries; those not yet begun are unsaved."""
        found = {gate.kind: gate for gate in self.filter(job=job).select_related("judged_by").with_trials()}
        for gate in found.values():
            gate.job = job
        return [
            found.get(kind) or Gate(job=job, kind=kind, position=place) for place, kind in enumerate(Gate.Kind.values)
        ]

    def with_trials(self):
        trials = Trial.objects.select_related("person", "confirmed_by", "log").defer("log__raw")
        trials = trials.prefetch_related("readings", "photos")
        return self.prefetch_related(models.Prefetch("trials", queryset=trials))

    @transaction.atomic
    def open_for(self, job, by):
        """All five gates of a job, made once, in their order."""
        have = set(self.filter(job=job).values_list("kind", flat=True))
        new = [
            Gate(job=job, kind=kind, position=place) for place, kind in enumerate(Gate.Kind.values) if kind not in have
        ]
        if new:
            self.bulk_create(new, ignore_conflicts=True)
            audit.record(by, "opened gates", f"job {job}", after={"gates": ", ".join(gate.kind for gate in new)})
        return list(self.filter(job=job).select_related("job"))

    def blocking(self, job):
        """Kinds of the gates that still keep a job from being handed over, in order."""
        through = self.filter(job=job, verdict__in=Gate.THROUGH).values_list("kind", flat=True)
        return [kind for kind in Gate.due(job) if kind.value not in set(through)]


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

    SERVICE = (Kind.AIR, Kind.WET, Kind.FILL)
    THROUGH = (Verdict.PASSED, Verdict.WAIVED)

    job = models.ForeignKey(Job, models.PROTECT, related_name="gates")
    kind = models.CharField(max_length=12, choices=Kind)
    position = models.PositiveSmallIntegerField(default=0)
    verdict = models.CharField(max_length=8, choices=Verdict, default=Verdict.OPEN)
    judged_at = models.DateTimeField(null=True, blank=True)
    judged_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    reason = models.TextField(_("reason"), blank=True)

    objects = GateQuerySet.as_manager()

    class Meta:
        ordering = ["position", "pk"]
        constraints = [models.UniqueConstraint(fields=["job", "kind"], name="gate_once_per_job")]

    def __str__(self):
        return f"{self.job} {self.get_kind_display()}"

    @classmethod
    def due(cls, job):
        """Kinds that must be through before a job is handed over: of a service, what opening the loop undoes."""
        if not job.serves_id:
            return list(cls.Kind)
        return list(cls.SERVICE) if job.opens_loop else []

    @property
    def is_due(self):
        return self.kind in Gate.due(self.job)

    @property
    def about(self):
        return f"gate {self.job} {self.kind}"

    @property
    def method(self):
        """The module of this kind of test: STEPS, CAUTIONS, measures, limit_lines, judge."""
        return METHODS[self.kind]

    @property
    def is_through(self):
        return self.verdict in self.THROUGH

    @property
    def latest(self):
        """The newest trial, or None. Uses prefetched trials."""
        trials = list(self.trials.all()) if self.pk else []
        return trials[-1] if trials else None

    def needs_first(self):
        """The gate that must be through before this one is begun, or None."""
        kind = AFTER.get(self.kind)
        if kind not in Gate.due(self.job):  # a service that opens no loop has nothing to hold back for
            return None
        if not Gate.objects.filter(job=self.job, kind=kind, verdict__in=self.THROUGH).exists():
            return Gate.Kind(kind)
        return None

    @transaction.atomic
    def keep(self, measured, by, *, machine, note="", signed_by="", photo=None):
        """Write down readings taken so far, and a CleanPhoto; the trial stays open until `record` judges it.

        Returns the Trial.
        """
        self.must_be_open_to_readings()
        trial = self.latest
        if trial is None or not trial.is_running:
            trial = Trial(gate=self, number=trial.number + 1 if trial else 1, person=by)
        before = trial.plain if trial.pk else None
        trial.note, trial.signed_by = note, signed_by
        trial.save()
        trial.write(measured, self.method.measures(machine, ProvingLimits.current()), machine, by)
        trial.add_photo(photo, by)
        self.job.reach(Stage.PROVING, by)
        self._reopened_by_a_reading(by)
        audit.record(by, "read", f"{self.about} {trial.number}", before, measured)
        return trial

    @transaction.atomic
    def record(self, measured, by, *, machine, note="", signed_by="", photo=None, numbers=()):
        """Write down all readings of a trial and judge them; the verdict waits for a person's word. Returns the Trial.

        measured: {name: float or None} as the method's measures name them. numbers: more to keep beside those of the
        judgement, as (label, value, unit). Raises Refused out of order.
        """
        if getattr(self.method, "SIGNED", False) and not signed_by.strip():
            raise Refused(_t("Type the name of the competent person who signs."), "signed_by")
        trial = self.keep(measured, by, machine=machine, note=note, signed_by=signed_by, photo=photo)
        limits = ProvingLimits.current()
        judgement = self.method.judge(measured, machine, limits).with_more(numbers)
        trial.take(judgement, self.method.limit_lines(machine, limits), machine)
        audit.record(by, "judged", f"{self.about} {trial.number}", after={"outcome": trial.outcome})
        return trial

    @transaction.atomic
    def confirm(self, verdict, by, remark="", photo=None):
        """A person stands by the verdict of the newest trial: passed only where the readings say so."""
        trial = self.latest
        if trial is None or trial.is_running:
            raise Refused(_t("Judge the readings first; then confirm what they say."))
        if trial.confirmed_at:
            raise Refused(_t("This trial was confirmed already; a new one needs new readings."))
        trial.may_be_called(verdict, remark)
        trial.confirmed_at, trial.confirmed_by, trial.verdict, trial.remark = timezone.now(), by, verdict, remark
        trial.save(update_fields=["confirmed_at", "confirmed_by", "verdict", "remark"])
        trial.add_photo(photo, by)
        self.logs.update(raw=b"")  # nobody matches them anew now; their lines are kept
        self._become(verdict, by, remark)
        if self.kind == self.Kind.SOAK:
            teach(trial, by)
        if verdict == FAILED:
            self.reopen_tasks(by, _t("the %(gate)s failed") % {"gate": self.get_kind_display()})
        else:
            self._finish_tasks(by)

    @transaction.atomic
    def waive(self, reason, by):
        """Go on without this test; the owner's word, with a reason that prints on the test record."""
        if not by.is_owner:
            raise Refused(_t("Only the owner may waive a test."))
        if not reason.strip():
            raise Refused(_t("Say why this test is waived; it prints on the test record."), "reason")
        if not self.job.is_live:
            raise Refused(_t("%(job)s is closed; its tests stand as they are.") % {"job": self.job})
        if self.verdict == self.Verdict.PASSED:
            raise Refused(_t("This test has passed; there is nothing to waive."))
        self._become(self.Verdict.WAIVED, by, reason.strip())

    def _become(self, verdict, by, reason):
        before = {"verdict": self.verdict, "reason": self.reason}
        self.verdict, self.reason, self.judged_at, self.judged_by = verdict, reason, timezone.now(), by
        self.save(update_fields=["verdict", "reason", "judged_at", "judged_by"])
        audit.record(by, verdict, self.about, before, {"verdict": verdict, "reason": reason})

    def must_be_open_to_readings(self):
        """Refused where no reading can be taken now: the job is closed, or another test comes first."""
        if not self.job.is_live:
            raise Refused(_t("%(job)s is closed; its tests stand as they are.") % {"job": self.job})
        first = self.needs_first()
        if first:
            raise Refused(
                _t("The %(first)s comes first: it must be passed, or waived by the owner, before this test begins.")
                % {"first": first.label}
            )

    def _reopened_by_a_reading(self, by):
        """New readings take back an earlier verdict until they are judged."""
        if self.verdict != self.Verdict.OPEN or self.reason:
            self._take_back("read anew", "", by)

    def void(self, why, by):
        """What the verdict rested on was done again: the test is due again, and says why until it is begun."""
        self._take_back("made due again", why, by)

    def _take_back(self, verb, why, by):
        before = {"verdict": self.verdict, "reason": self.reason}
        self.verdict, self.reason, self.judged_at, self.judged_by = self.Verdict.OPEN, why, None, None
        self.save(update_fields=["verdict", "reason", "judged_at", "judged_by"])
        audit.record(by, verb, self.about, before, {"verdict": self.verdict, "reason": why})

    @property
    def is_due_again(self):
        """Whether it was through once and its verdict was taken back."""
        return self.verdict == self.Verdict.OPEN and bool(self.reason)

    def _finish_tasks(self, by):
        """The tasks that this gate proves are done with it; nobody has to say so twice."""
        for task in Task.objects.filter(job=self.job, proves=self.kind, done_at=None).select_related("job"):
            task.finish(by)

    def reopen_tasks(self, by, reason):
        for task in Task.objects.filter(job=self.job, proves=self.kind, done_at__isnull=False).select_related("job"):
            task.reopen(by, reason=reason)


class Trial(models.Model):
    """One time a gate's test was done: its readings, what they say, and who stood by it. Earlier ones are kept.

    outcome is empty while readings are still being taken. limits, reasons, findings, causes, numbers are as they
    stood when it was judged: texts, and [label, text] pairs. prior: what the workshop had learnt by then, as the soak's
    range rests on it.
    """

    gate = models.ForeignKey(Gate, models.CASCADE, related_name="trials")
    number = models.PositiveSmallIntegerField(default=1)
    person = models.ForeignKey(Person, models.PROTECT, related_name="+")
    began_at = models.DateTimeField(default=timezone.now)
    judged_at = models.DateTimeField(null=True, blank=True)
    outcome = models.CharField(max_length=8, blank=True, choices=[(v, v) for v in (PASSED, FAILED, OPEN)])
    limits = models.JSONField(default=list)
    reasons = models.JSONField(default=list)
    findings = models.JSONField(default=list)
    causes = models.JSONField(default=list)
    numbers = models.JSONField(default=list)
    basis = models.CharField(max_length=300, blank=True)
    prior = models.JSONField(default=dict, blank=True)
    note = models.TextField(_("note"), blank=True)
    signed_by = models.CharField(_("signed by"), max_length=120, blank=True)
    verdict = models.CharField(max_length=8, blank=True, choices=Gate.Verdict)
    confirmed_at = models.DateTimeField(null=True, blank=True)
    confirmed_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    remark = models.TextField(_("remark"), blank=True)
    photos = models.ManyToManyField(Photo, related_name="+")

    class Meta:
        ordering = ["number"]
        constraints = [models.UniqueConstraint(fields=["gate", "number"], name="trial_once_per_gate")]

    def __str__(self):
        return f"{self.gate} trial {self.number}"

    @property
    def is_running(self):
        return self.outcome == ""

    @property
    def plain(self):
        """{name: value} of its readings."""
        return {reading.name: reading.value for reading in self.readings.all()}

    def add_photo(self, photo, by):
        """Keep a CleanPhoto with the trial; None does nothing."""
        if photo:
            self.photos.add(Photo.keep(photo, by))

    def write(self, measured, measures, machine, by):
        """Store the readings that were taken, each with its words, in place of the trial's former ones."""
        self.readings.all().delete()
        known = {p.name: p for p in machine.predicted}
        room = measured.get("room")
        rows = []
        for measure in measures:
            value = measured.get(measure.name)
            if value is None:
                continue
            row = Reading(trial=self, name=measure.name, label=measure.label, value=value, unit=measure.unit,
                          written=measure.written(value), person=by)  # fmt: skip
            p = known.get(measure.name)
            if p and room is not None:
                row.predicted, row.predicted_low, row.predicted_high = (room + k for k in (p.over_room, p.low, p.high))
            rows.append(row)
        Reading.objects.bulk_create(rows)

    def take(self, judgement, limits, machine):
        """Take over what a method concluded."""
        self.outcome, self.judged_at = judgement.outcome, timezone.now()
        if self.gate.kind == Gate.Kind.SOAK:
            self.basis, self.prior = machine.basis[:300], machine.prior
        self.reasons, self.findings = list(judgement.reasons), list(judgement.findings)
        self.causes, self.numbers = list(judgement.causes), [list(row) for row in judgement.written]
        self.limits = [list(row) for row in limits]
        self.save()

    def may_be_called(self, verdict, remark):
        """Refused where a verdict does not follow from the readings, or wants a word of explanation."""
        if verdict == PASSED and self.outcome != PASSED:
            why = " ".join(self.reasons)
            raise Refused(_t("The readings do not let it pass: %(why)s") % {"why": why}, "verdict")
        if verdict not in (PASSED, FAILED):
            raise Refused(_t("Say whether it passed or failed."), "verdict")
        if verdict == PASSED and self.findings and not remark.strip():
            raise Refused(_t("Something was found or could not be judged: say what you looked at."), "remark")
        if verdict == FAILED and self.outcome == PASSED and not remark.strip():
            raise Refused(_t("The readings say passed: say what you saw that fails it."), "remark")


class Reading(models.Model):
    """A measured value of a trial, with its words as they stood. Predicted values are in the reading's unit."""

    trial = models.ForeignKey(Trial, models.CASCADE, related_name="readings")
    name = models.CharField(max_length=40)
    label = models.CharField(max_length=120)
    value = models.FloatField()
    unit = models.CharField(max_length=12)
    written = models.CharField(max_length=60)
    predicted_low = models.FloatField(null=True)
    predicted = models.FloatField(null=True)
    predicted_high = models.FloatField(null=True)
    person = models.ForeignKey(Person, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["trial", "name"], name="reading_once_per_trial")]

    def __str__(self):
        return f"{self.label} {self.written}"

    @property
    def part(self):
        """The part whose temperature it is: its label without the time."""
        return self.label.rpartition(",")[0] or self.label
