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
