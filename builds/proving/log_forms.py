"""The two forms of a soak log: the file, and what its columns hold."""

from django import forms
from django.utils.translation import gettext_lazy as _

from parts.workshop.forms import CarefulForm, QuantityField
from parts.workshop.refusal import Refused

from .log_columns import ONCE, TEMPERATURES, targets_for
from .log_file import MOST_BYTES, LogError
from .logs import SoakLog

TIMES = [("s", _("seconds")), ("min", _("minutes")), ("h", _("hours")), ("ms", _("milliseconds"))]


def _load_field():
    return QuantityField(
        label=_("Heat of all that the blocks cool"), unit="W", lower=1, upper=5000, required=False,
        help_text=_("As measured, where no column of the log holds it."),
    )  # fmt: skip


class LogFileForm(CarefulForm):
    """A logger's file, kept and, where its layout is known, judged at once."""

    file = forms.FileField(
        label=_("The log, as a CSV file"), max_length=200,
        widget=forms.FileInput(attrs={"accept": ".csv,.tsv,.txt,.log,text/csv,text/plain"}),
        help_text=_("Any order of columns, comma or point, °C or °F, time as a clock or counted. Up to 48 MB."),
    )  # fmt: skip
    load_w = _load_field()

    def __init__(self, *args, job, **kwargs):
        super().__init__(*args, **kwargs)
        self.job = job

    def clean_file(self):
        file = self.cleaned_data["file"]
        if file.size > MOST_BYTES:
            raise forms.ValidationError(
                _("This file has %(size).0f MB; a log has at most %(most)d MB. Log less often, or leave columns out."),
                params={"size": file.size / 2**20, "most": MOST_BYTES // 2**20},
            )
        return file

    def begin(self):
        """Keep the log; a method for carry_out. What is no log is said at its field."""
        file = self.cleaned_data["file"]
        try:
            return SoakLog.begin(self.job, file.name, file.read(), self.person, self.cleaned_data["load_w"])
        except LogError as error:
            raise Refused(str(error), "file") from None


class ColumnsForm(CarefulForm):
    """What each column of a log holds, and how what names no unit is meant."""

    temperature = forms.ChoiceField(
        label=_("Temperatures that name no unit are in"), choices=[(key, sign) for key, sign in TEMPERATURES.items()]
    )
    time = forms.ChoiceField(label=_("Times that are plain numbers count"), choices=TIMES)
    from_minute = forms.FloatField(
        label=_("Judge from minute"), min_value=0, required=False,
        help_text=_("Leaves out what comes before, as a gap or the time before the load."),
    )  # fmt: skip
    load_w = _load_field()

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        log = self.subject
        choices = [("", _("leave it out")), *targets_for(log.part_labels()).items()]
        for index, heading in enumerate(log.headings):
            self.fields[f"column_{index}"] = forms.ChoiceField(
                label=heading or _("column %(n)d") % {"n": index + 1}, choices=choices, required=False
            )
            self.initial[f"column_{index}"] = log.targets[index]
        self.initial.update({"temperature": "degC", "time": "s", **log.options, "load_w": log.load_w})
        self.initial["from_minute"] = log.options.get("from_minute") or None

    @property
    def columns(self):
        """[(bound field, first cells)]"""
        return [(self[f"column_{n}"], cells) for n, cells in enumerate(self.subject.shown)]

    @property
    def options_fields(self):
        return [self[name] for name in ("temperature", "time", "from_minute", "load_w")]

    def clean(self):
        cleaned = super().clean()
        taken = set()
        for index in range(len(self.subject.headings)):
            target = cleaned.get(f"column_{index}")
            if target and (target in ONCE or target.startswith("part:")) and target in taken:
                self.add_error(f"column_{index}", _("Another column holds this already."))
            taken.add(target)
        return cleaned

    def match(self):
        """Match and judge; a method for carry_out."""
        data = self.cleaned_data
        targets = [data.get(f"column_{n}", "") for n in range(len(self.subject.headings))]
        options = {"temperature": data["temperature"], "time": data["time"],
                   "from_minute": data["from_minute"] or 0.0}  # fmt: skip
        return self.subject.match(targets, options, data["load_w"], self.person)
