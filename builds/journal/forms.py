"""Forms of the journal."""

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from builds.labour.models import Task
from parts.workshop.forms import CarefulForm
from parts.workshop.photos import PhotoField

from .models import JournalEntry


def _day(label):
    return forms.DateField(label=label, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))


class EntryForm(CarefulForm):
    """An entry, new or corrected. entry: the one to correct, None for a new one."""

    text = forms.CharField(
        label=_("What was done or seen"), required=False, max_length=8000, widget=forms.Textarea(attrs={"rows": 3})
    )
    photo = PhotoField(label=_("Photo"))
    task = forms.ModelChoiceField(
        Task.objects.none(), label=_("Task"), required=False, empty_label=_("the job as a whole")
    )
    on = _day(_("Day"))

    def __init__(self, *args, job, entry=None, **kwargs):
        self.job, self.entry = job, entry
        said = {"on": timezone.localdate()}
        if entry:
            said = {"text": entry.text, "task": entry.task_id, "on": entry.on}
        super().__init__(*args, subject=entry, initial=said, **kwargs)
        self.fields["task"].queryset = job.tasks.all()

    def keep(self):
        return self.carry_out(self._keep)

    def _keep(self):
        data = {name: self.cleaned_data[name] for name in ("text", "task", "on")}
        if self.entry is None:
            return JournalEntry.write(job=self.job, by=self.person, photo=self.cleaned_data["photo"], **data)
        if self.cleaned_data["photo"]:
            self.entry.add_photo(self.cleaned_data["photo"], self.person)
        self.entry.correct(by=self.person, **data)
        return self.entry


class ConsentForm(CarefulForm):
    """The client's consent to publish an entry beyond his own page."""

    name = forms.CharField(label=_("Who gave it"), max_length=120)
    on = _day(_("Given on"))

    def __init__(self, *args, entry, **kwargs):
        self.entry = entry
        super().__init__(*args, subject=entry, initial={"on": timezone.localdate()}, **kwargs)

    def keep(self):
        data = self.cleaned_data
        return self.carry_out(lambda: self.entry.consent(by=self.person, on=data["on"], name=data["name"]))
