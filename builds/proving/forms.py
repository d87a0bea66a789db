from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from parts.catalogue.models import Part
from parts.workshop.forms import CarefulForm, CarefulModelForm, QuantityField
from parts.workshop.photos import PhotoField
from thermal.units import symbol

from .judgement import CHOICE, FAILED, PASSED, YES_NO, Limits
from .limits import ProvingLimits
from .machine import machine_of
from .models import Gate
from .serials import write_serial
from .soak import speeds_of


class ReadingsForm(CarefulForm):
    """The readings of one trial: all of them to be judged, or what there is so far to be kept."""

    note = forms.CharField(label=_("Note"), required=False, widget=forms.Textarea(attrs={"rows": 2}))
    photo = PhotoField(
        label=_("Photo"), help_text=_("It prints on the test record. For several, keep what there is after each.")
    )

    def __init__(self, *args, gate, machine, limits, **kwargs):
        self.gate, self.machine = gate, machine
        self.measures = gate.method.measures(machine, limits)
        kwargs.setdefault("subject", gate)
        super().__init__(*args, **kwargs)
        self.keeping = "keep" in self.data
        last = {name: self.fields.pop(name) for name in ("note", "photo")}
        for measure in self.measures:
            self.fields[measure.name] = _field(measure, self.keeping)
        if getattr(gate.method, "SIGNED", False):
            self.fields["signed_by"] = forms.CharField(
                label=_("Signed by, a competent person"), max_length=120, required=not self.keeping
            )
        self.fields |= last
        self._start_from(gate.latest)

    @property
    def groups(self):
        """[(what stands over them, bound fields)] in the form's order; the last ones without a name."""
        found, names = [], {measure.name: measure.group for measure in self.measures}
        for field in self.visible_fields():
            group = names.get(field.name, "")
            if not found or found[-1][0] != group:
                found.append((group, []))
            found[-1][1].append(field)
        return found

    def _start_from(self, trial):
        """Begin with what was kept of a running trial; the clock tells the minutes since then."""
        if trial is None or not trial.is_running:
            return
        kept = trial.plain
        self.initial.update({m.name: _as_typed(m, kept[m.name]) for m in self.measures if m.name in kept})
        self.initial.update(note=trial.note, signed_by=trial.signed_by)
        elapsed = (timezone.now() - trial.began_at).total_seconds() / 60.0
        for name, unit_minutes in (("minutes", 1.0), ("hours", 60.0)):
            if name in self.fields and self.initial.get(name) is None:
                self.initial[name] = f"{elapsed / unit_minutes:.1f}"

    @property
    def measured(self):
        """{name: float or None} of all measures."""
        values = {}
        for measure in self.measures:
            value = self.cleaned_data.get(measure.name)
            unknown = value in ("", None) or (self.keeping and value is False)
            values[measure.name] = None if unknown else float(value)
        return values

    def write(self):
        """Keep or judge what was typed; a method for carry_out."""
        gates = {gate.kind: gate for gate in Gate.objects.open_for(self.gate.job, by=self.person)}
        gate = gates[self.gate.kind]
        write = gate.keep if self.keeping else gate.record
        machine = self.machine
        if "load" in self.measured:  # a soak is compared with the model at its own load, in its own room
            machine = machine_of(
                self.gate.job, self.measured["load"], self.measured["room"], self.measured.get("sensor"),
                speeds_of(self.measured),
            )  # fmt: skip
        return write(
            self.measured, self.person, machine=machine, note=self.cleaned_data["note"],
            photo=self.cleaned_data["photo"], signed_by=self.cleaned_data.get("signed_by", ""),
        )  # fmt: skip


def _field(measure, keeping):
    """A form field for one measure. A box that is not ticked means no."""
    required = measure.required and not keeping
    told = {"label": measure.label[:1].upper() + measure.label[1:], "help_text": measure.help, "required": required}
    if measure.unit == YES_NO:
        return forms.BooleanField(**{**told, "required": False})
    if measure.unit == CHOICE:
        nothing = _("not yet") if measure.required else _("not chosen")
        choices = [("", nothing), *((str(value), text) for value, text in measure.choices)]
        return forms.ChoiceField(choices=choices, **told)
    if measure.unit == "count":
        return forms.IntegerField(min_value=int(measure.lower), max_value=int(measure.upper), **told)
    field = QuantityField(unit=measure.unit, lower=measure.lower, upper=measure.upper, **told)
    field.initial = None if measure.initial is None else f"{measure.initial:.4g}"
    field.suffix = symbol(measure.unit)
    field.widget.attrs.update({"inputmode": "text", "autocomplete": "off"})
    return field


def _as_typed(measure, value):
    """A kept value as the form shows it, with every figure that was typed."""
    if measure.unit == YES_NO:
        return bool(value)
    if measure.unit == CHOICE:
        return str(value)
    return f"{value:.8g}"


class ConfirmForm(CarefulForm):
    """The person's word on the newest trial."""

    remark = forms.CharField(
        label=_("What you saw"), required=False, widget=forms.Textarea(attrs={"rows": 2}),
        help_text=_("Needed where something was found or not judged, or to fail what the readings pass."),
    )  # fmt: skip
    photo = PhotoField(label=_("Photo of it"))

    def __init__(self, *args, trial, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["remark"].required = bool(trial.findings)
        choices = [(FAILED, _("it failed"))]
        if trial.outcome == PASSED:
            choices.insert(0, (PASSED, _("it passed")))
        self.fields["verdict"] = forms.ChoiceField(
            label=_("Your verdict"), choices=choices, widget=forms.RadioSelect,
            error_messages={"invalid_choice": _("The readings do not let it pass.")},
        )  # fmt: skip
        self.order_fields(["verdict", "remark", "photo"])


class WaiveForm(CarefulForm):
    """Why the owner goes on without a test."""

    reason = forms.CharField(
        label=_("Why this test is waived"), widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("It prints on the test record that leaves with the machine."),
    )  # fmt: skip


class LoopOpenedForm(CarefulForm):
    """What was opened at the bench, after tests had passed."""

    what = forms.CharField(
        label=_("What was opened, and why"), max_length=160,
        help_text=_("As in: the fitting at the pump's outlet, it sweated."),
    )  # fmt: skip


class SerialForm(CarefulForm):
    """One more serial number of a part in the machine."""

    part = forms.ModelChoiceField(label=_("Part"), queryset=Part.objects.none())
    serial = forms.CharField(label=_("Serial number"), max_length=80)

    def __init__(self, *args, job, parts, **kwargs):
        super().__init__(*args, **kwargs)
        self.job = job
        self.fields["part"].queryset = parts

    def write(self):
        return write_serial(self.job, self.cleaned_data["part"], self.cleaned_data["serial"], by=self.person)


class LimitsForm(CarefulModelForm):
    """The workshop's own limits; no reading is so fine that it shows a leak of nothing at all."""

    class Meta:
        model = ProvingLimits
        fields = list(Limits().as_dict())

    def clean_air_leak_mbar_l_s(self):
        rate = self.cleaned_data["air_leak_mbar_l_s"]
        if rate <= 0:
            raise forms.ValidationError(_("Type a leak rate above zero, as in 0.002."))
        return rate
