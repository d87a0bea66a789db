"""Forms of the bench's time: a person's week, days away."""

from datetime import date

from django import forms
from django.utils.translation import gettext_lazy as _

from parts.workshop.forms import AmountField, CarefulForm, CarefulModelForm
from parts.workshop.models import Person

from .bench_time import DAYS, LABELS, Absence, BenchWeek


class BenchWeekForm(CarefulModelForm):
    """Hours at the bench from Monday to Sunday."""

    class Meta:
        model = BenchWeek
        fields = list(DAYS)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for name, label in zip(DAYS, LABELS, strict=True):
            self.fields[name] = AmountField(label=label, min_value=0, max_value=16, decimal_places=1, max_digits=3)


def _day(label):
    return forms.DateField(label=label, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))


class AbsenceForm(CarefulForm):
    """Days on which somebody is not at the bench."""

    who = forms.ModelChoiceField(Person.objects.none(), label=_("Who"), empty_label=None)
    first = _day(_("First day away"))
    last = _day(_("Last day away"))
    note = forms.CharField(label=_("Note"), max_length=80, required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["who"].queryset = Person.objects.filter(is_active=True)

    def clean(self):
        data = super().clean()
        first, last = data.get("first"), data.get("last")
        if first and last and last < first:
            self.add_error("last", _("The last day lies before the first; give the day before the return."))
        if last and last.year > date.today().year + 10:
            self.add_error("last", _("That is more than ten years ahead; look at the year."))
        return data

    def keep(self):
        data = self.cleaned_data
        return self.carry_out(
            lambda: Absence.enter(
                person=data["who"], first=data["first"], last=data["last"], note=data["note"], by=self.person
            )
        )
