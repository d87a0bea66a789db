"""Forms of the journal."""

from django import forms
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from builds.labour.models import HoursEntry, Task
from parts.workshop.forms import CarefulForm
from parts.workshop.photos import PhotoField

from .models import JournalEntry


def _day(label):
    return forms.DateField(label=label, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))


MOST_AT_ONCE = 12


class SeveralFiles(forms.FileInput):
    allow_multiple_selected = True


class PhotosField(PhotoField):
    """Photos taken one after the other and sent together; cleans to a list of CleanPhotos. A bad one is named."""

    def __init__(self, **kwargs):
        super().__init__(widget=SeveralFiles(attrs={"accept": "image/*"}), **kwargs)

    def clean(self, value, initial=None):
        files = value or []
        if len(files) > MOST_AT_ONCE:
            raise forms.ValidationError(
                _t("%(many)s photos at once; send at most %(most)s, then the others.")
                % {"many": len(files), "most": MOST_AT_ONCE}
            )
        found = []
        for file in files:
            try:
                found.append(super().clean(file, initial))
            except forms.ValidationError as error:
                raise forms.ValidationError([f"{file.name}: {said}" for said in error.messages]) from None
        return found


class EntryForm(CarefulForm):
    """An entry, new or corrected. entry: the one to correct, None for a new one."""

    text = forms.CharField(
        label=_("What was done or seen"), required=False, max_length=8000, widget=forms.Textarea(attrs={"rows": 3})
    )
    photo = PhotosField(label=_("Photos"))
    task = forms.ModelChoiceField(
        Task.objects.none(), label=_("Task"), required=False, empty_label=_("the job as a whole")
    )
    on = _day(_("Day"))

    def __init__(self, *args, job, entry=None, **kwargs):
        self.job, self.entry = job, entry
        said = {"on": timezone.localdate()}
        running = None if entry else HoursEntry.objects.running_of(kwargs["person"])
        if running:
            said["task"] = running.task_id  # of another job it is no choice here
        if entry:
            said = {"text": entry.text, "task": entry.task_id, "on": entry.on}
        super().__init__(*args, subject=entry, initial=said, **kwargs)
        self.fields["task"].queryset = job.tasks.all()

    def keep(self):
        return self.carry_out(self._keep)

    def _keep(self):
        data = {name: self.cleaned_data[name] for name in ("text", "task", "on")}
        if self.entry is None:
            return JournalEntry.write(job=self.job, by=self.person, photos=self.cleaned_data["photo"], **data)
        for photo in self.cleaned_data["photo"]:
            self.entry.add_photo(photo, self.person)
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
