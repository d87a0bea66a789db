from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from parts.workshop.forms import CarefulForm


class CareDoneForm(CarefulForm):
    """When a care date was done, and what was seen."""

    on = forms.DateField(
        label=_("Done on"), initial=timezone.localdate,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )  # fmt: skip
    remark = forms.CharField(label=_("What was seen"), max_length=200, required=False)

    @property
    def facts(self):
        return {"on": self.cleaned_data["on"], "remark": self.cleaned_data["remark"]}


class ServiceForm(CarefulForm):
    """A machine that comes back, and what is to be done."""

    title = forms.CharField(
        label=_("What is to be done, in a few words"), max_length=120, help_text=_("As in: change the coolant.")
    )
    purpose = forms.CharField(
        label=_("What the client tells"), required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    opens_loop = forms.BooleanField(
        label=_("The loop is opened"), required=False, initial=True,
        help_text=_("Then air test, wet test and bleed are due again before it goes back."),
    )  # fmt: skip
    under_warranty = forms.BooleanField(
        label=_("Warranty work"), required=False, help_text=_("Logged like any other, and not charged.")
    )

    @property
    def facts(self):
        names = ("title", "purpose", "opens_loop", "under_warranty")
        return {name: self.cleaned_data[name] for name in names}
