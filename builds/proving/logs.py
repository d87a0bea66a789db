"""Soak logs as they are kept: on their way with their bytes, judged with few points; how each layout was matched."""

import gzip
import hashlib

from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _t

from parts.catalogue.headers import bare
from parts.workshop import audit
from parts.workshop.models import Person, Versioned
from parts.workshop.refusal import Refused

from .log_columns import Reading as HowToRead
from .log_columns import gathered, guess, missing, targets_for
from .log_faults import look_over
from .log_file import read_log
from .log_result import lacking, lines_of, result_of
from .log_times import TimeDoubt
from .machine import machine_of
from .models import Gate, Trial
from .soak import speeds_of


def _mark_of(headings):
    return hashlib.sha256("\n".join(map(bare, headings)).encode()).hexdigest()


class LogLayout(models.Model):
    """How a log with these headings was matched the last time. targets: one a column; options as SoakLog's."""

    mark = models.CharField(max_length=64, unique=True)
    targets = models.JSONField()
    options = models.JSONField()
    used_at = models.DateTimeField(default=timezone.now)

    def __str__(self):
        return f"{self.mark[:8]} {self.used_at:%Y-%m-%d}"


class SoakLog(Versioned):
    """A log of a soak test as it was sent, how it is read, and what came of it.

    raw: the file, compressed, until the verdict is confirmed. shown: first cells of each column. targets, options:
    how its columns are read; options: temperature, time, from_minute. doubts: why it was not judged. lines: few points
    of each column. window: minutes it was averaged over. trial: what it was judged as.
    """

    gate = models.ForeignKey(Gate, models.CASCADE, related_name="logs")
    trial = models.OneToOneField(Trial, models.CASCADE, null=True, related_name="log")
    person = models.ForeignKey(Person, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    name = models.CharField(max_length=120)
    raw = models.BinaryField(default=b"")
    rows = models.PositiveIntegerField(default=0)
    headings = models.JSONField(default=list)
    shown = models.JSONField(default=list)
    targets = models.JSONField(default=list)
    options = models.JSONField(default=dict)
    load_w = models.FloatField(null=True)
    doubts = models.JSONField(default=list)
    notes = models.JSONField(default=list)
    lines = models.JSONField(default=list)
    window = models.JSONField(default=list)

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self):
        return self.name

    @classmethod
    @transaction.atomic
    def begin(cls, job, name, data, by, load_w=None):
        """Keep a log and match its columns, as remembered for its headings or by a guess; judge it if remembered.

        data: the file's bytes. Raises LogError for what is no log, Refused where no reading can be taken now.
        """
        gate = next(gate for gate in Gate.objects.open_for(job, by) if gate.kind == Gate.Kind.SOAK)
        gate.must_be_open_to_readings()
        file = read_log(data)
        log = cls(gate=gate, person=by, name=name[:120], rows=file.rows, headings=list(file.headings),
                  shown=file.shown(), raw=gzip.compress(data, 1), load_w=load_w)  # fmt: skip
        labels = log.part_labels()
        known = LogLayout.objects.filter(mark=_mark_of(file.headings)).first()
        log.targets = guess(file.headings, labels)
        if known and len(known.targets) == len(file.headings):
            have = targets_for(labels)
            log.targets = [target if target in have else "" for target in known.targets]
            log.options = known.options
        log.save()
        audit.record(by, "sent log", gate.about, after={"name": log.name, "rows": log.rows})
        if known and not missing(log.targets):
            log.judge(by, file)
        return log

    @property
    def can_be_matched(self):
        return bool(self.raw)

    def part_labels(self):
        """Labels of the temperatures foretold for the machine, the coolant's first."""
        return [p.label for p in machine_of(self.gate.job).predicted]

    @transaction.atomic
    def match(self, targets, options, load_w, by):
        """Say what the columns hold, remember it for the layout, and judge the log."""
        lost = missing(targets)
        if lost:
            raise Refused(_t("Say which column holds: %(names)s.") % {"names": ", ".join(lost)})
        if not self.raw:
            raise Refused(_t("This log was judged and its file let go; send it again."))
        self.targets, self.options, self.load_w = list(targets), dict(options), load_w
        remembered = {name: value for name, value in options.items() if name != "from_minute"}
        LogLayout.objects.update_or_create(
            mark=_mark_of(self.headings),
            defaults={"targets": self.targets, "options": remembered, "used_at": timezone.now()},
        )
        return self.judge(by)

    def judge(self, by, file=None):
        """Read the columns: doubts are kept and nothing is judged, or the readings become the Trial returned."""
        file = file or read_log(gzip.decompress(bytes(self.raw)))
        self.doubts, self.notes, self.lines, self.window = [], [], [], []
        trial = None
        try:
            columns = gathered(file, HowToRead(tuple(self.targets), **self.options))
            looked = look_over(columns)
            self.doubts, self.notes = list(looked.doubts), list(looked.notes)
        except TimeDoubt as doubt:
            self.doubts = [str(doubt)]
        else:
            trial = self._as_trial(looked.columns, by) if not self.doubts else None
            if not self.lines and len(looked.columns.times) and not _runs_back(looked.columns):
                self.lines = lines_of(looked.columns)
        if trial is not None:
            self.trial = trial
        self.save()
        audit.record(by, "read log", self.gate.about, after={"name": self.name, "doubts": " ".join(self.doubts)})
        return trial

    def _as_trial(self, columns, by):
        """The trial that the log's readings make; None and a doubt where something asked for is not in it."""
        job = self.gate.job
        result = result_of(columns, machine_of(job), self.load_w)
        load, room = result.measured["load"], result.measured["room"]
        machine = machine_of(job, load, room, speeds=speeds_of(result.measured)) if load else machine_of(job)
        lacks = lacking(result, machine)
        if lacks:
            self.doubts = [_t("The log does not tell: %(names)s.") % {"names": ", ".join(lacks)}]
            return None
        self.lines, self.window = result.lines, list(result.window)
        gate = Gate.objects.with_trials().select_related("job").get(pk=self.gate_id)
        machine = result.slower(machine)
        return gate.record(result.measured, by, machine=machine, note="\n".join([self.name, *self.notes]),
                           numbers=result.numbers)  # fmt: skip


def _runs_back(columns):
    return bool((columns.times[1:] < columns.times[:-1]).any())
