from django import forms
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _

from parts.workshop.forms import CarefulForm

from .aftercare import CareDate
from .models import Pack


class CareChoice(forms.ModelMultipleChoiceField):
    """Care dates to tick, each with its day as people write it."""

    def label_from_instance(self, care):
        return _("%(what)s, due %(day)s") % {"what": care.what, "day": date_format(care.due)}


class HandOverForm(CarefulForm):
    """How the machine leaves."""

    way = forms.ChoiceField(label=_("How it leaves"), choices=Pack.WAYS, widget=forms.RadioSelect, initial="collected")
    filled = forms.ChoiceField(
        label=_("The loop"), choices=[("yes", _("filled with coolant")), ("no", _("drained, with the fill sheet"))],
        widget=forms.RadioSelect, initial="yes",
    )  # fmt: skip
    received_by = forms.CharField(label=_("Received by"), max_length=120)
    on = forms.DateField(
        label=_("Handed over on"), initial=timezone.localdate,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )  # fmt: skip
    with_account = forms.BooleanField(
        label=_("Print the final account in the pack"), required=False, initial=True,
        help_text=_("What was agreed, billed and paid; never cost or margin."),
    )  # fmt: skip

    reminders = forms.BooleanField(
        label=_("The client agrees to be reminded of care dates by e-mail"), required=False,
        help_text=_("Noted with the day; it can be taken back at any time."),
    )  # fmt: skip

    owed = forms.CharField(
        label=_("Still owed"), required=False, widget=forms.Textarea(attrs={"rows": 2}),
        help_text=_("What the client is still to get, one thing a line. It prints on the receipt and stays in Today."),
    )  # fmt: skip
    care_done = CareChoice(
        CareDate.objects.none(), label=_("Care that this service did"), required=False,
        widget=forms.CheckboxSelectMultiple, help_text=_("Each is marked done, and its next date follows."),
    )  # fmt: skip

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        job = self.subject
        if job.serves_id:
            self.fields["care_done"].queryset = CareDate.objects.open().filter(job=job.serves_id)
            del self.fields["reminders"]
        else:
            del self.fields["care_done"]

    @property
    def facts(self):
        """What Pack.hand_over wants."""
        data = self.cleaned_data
        return {
            "way": data["way"], "filled": data["filled"] == "yes", "received_by": data["received_by"],
            "on": data["on"], "with_account": data["with_account"], "reminders": data.get("reminders", False),
            "owed": data["owed"].splitlines(), "care_done": data.get("care_done", ()),
        }  # fmt: skip
