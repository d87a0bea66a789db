"""Forms of the workshop's own plan patterns."""

from django import forms
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from parts.kinds import all_kinds
from parts.workshop.forms import AmountField, CarefulModelForm

from .patterns import PatternTask, PlanPattern


class PatternForm(CarefulModelForm):
    """A pattern's name."""

    class Meta:
        model = PlanPattern
        fields = ["name"]


def _hours(label):
    return AmountField(label=label, min_value=0, max_value=200, decimal_places=2, max_digits=6)


class PatternStepForm(CarefulModelForm):
    """A step of a pattern: what it is counted by, its hours for one of them, what it follows and needs."""

    hours_low = _hours(_("Hours for one, if all goes well"))
    hours_likely = _hours(_("Hours for one, likely"))
    hours_high = _hours(_("Hours for one, if it fights back"))
    needs_kinds = forms.MultipleChoiceField(
        label=_("Needs on the bench"), required=False, widget=forms.CheckboxSelectMultiple
    )
    after = forms.ModelMultipleChoiceField(
        PatternTask.objects.none(), label=_("Comes after"), required=False, widget=forms.CheckboxSelectMultiple
    )

    class Meta:
        model = PatternTask
        fields = [
            "name", "work_kind", "position", "per", "hours_low", "hours_likely", "hours_high", "needs_kinds", "caution",
            "proves",
        ]  # fmt: skip
        labels = {"position": _("Place in the list")}
        widgets = {"caution": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        step = self.instance
        self.fields["needs_kinds"].choices = [(name, kind.label) for name, kind in all_kinds().items()]
        self.fields["after"].queryset = step.pattern.tasks.exclude(pk=step.pk)
        if step.pk:
            self.initial["after"] = list(step.after.values_list("pk", flat=True))
        elif not self.is_bound:
            self.initial["position"] = step.pattern.tasks.count()

    def clean(self):
        data = super().clean()
        hours = [data.get(name) for name in ("hours_low", "hours_likely", "hours_high")]
        if None not in hours and hours != sorted(hours):
            self.add_error("hours_likely", _("Low, likely and high hours go upward."))
        if hours[2] == 0:
            self.add_error("hours_high", _("A step takes some time; type at least 0.1."))
        same = self.instance.pattern.tasks.exclude(pk=self.instance.pk).filter(name=data.get("name"))
        if data.get("name") and same.exists():
            self.add_error("name", _t("“%(name)s” stands in this pattern already.") % {"name": data["name"]})
        return data

    def keep(self):
        """Store the step with its order, in one go; a circle is refused."""
        return self.carry_out(self._keep)

    def _keep(self):
        new = self.instance.pk is None
        before = None if new else {name: self.initial.get(name) for name in self.changed_data}
        said = {name: self.cleaned_data[name] for name in self.changed_data if name != "after"}
        step = self.save()
        step.follow(self.cleaned_data["after"], self.person)
        step.recorded(self.person, "added" if new else "changed", before, said)
        return step
