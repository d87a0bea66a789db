from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from parts.workshop.forms import CarefulForm

from .models import Pack


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

    @property
    def facts(self):
        """What Pack.hand_over wants."""
        data = self.cleaned_data
        return {
            "way": data["way"], "filled": data["filled"] == "yes", "received_by": data["received_by"],
            "on": data["on"], "with_account": data["with_account"], "reminders": data["reminders"],
        }  # fmt: skip
