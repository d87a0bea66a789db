"""Forms of the bench: a task of a plan, hours by hand, rates."""

from datetime import UTC, timedelta

from django import forms
from django.db.models import Max
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from builds.jobs.models import ENDED
from parts.workshop import audit
from parts.workshop.forms import AmountField, CarefulForm, CarefulModelForm
from parts.workshop.models import Person

from .durations import read_duration
from .hours import HoursEntry
from .models import PlanPattern, Task, WorkKind

MINUTE = timedelta(minutes=1)


class LayOutForm(CarefulForm):
    """Which pattern a plan is made from."""

    pattern = forms.ModelChoiceField(PlanPattern.objects.all(), label=_("Pattern"), empty_label=None)


LONGEST_TASK = 200  # hours: five weeks of one person; what is longer is more than one task


def _hours(label):
    return AmountField(label=label, min_value=0, max_value=LONGEST_TASK, decimal_places=2, max_digits=6)


class TaskForm(CarefulModelForm):
    """One step of a plan: what it is, how long it takes, what it follows and needs."""

    hours_low = _hours(_("Hours, if all goes well"))
    hours_likely = _hours(_("Hours, likely"))
    hours_high = _hours(_("Hours, if it fights back"))
    after = forms.ModelMultipleChoiceField(
        Task.objects.none(), label=_("Comes after"), required=False, widget=forms.CheckboxSelectMultiple
    )
    roles = forms.ModelMultipleChoiceField(
        Task.objects.none(), label=_("Needs on the bench"), required=False, widget=forms.CheckboxSelectMultiple
    )

    class Meta:
        model = Task
        fields = ["name", "work_kind", "hours_low", "hours_likely", "hours_high", "caution", "proves"]
        widgets = {"caution": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        job = self.instance.job
        self.fields["after"].queryset = job.tasks.exclude(pk=self.instance.pk)
        self.fields["roles"].queryset = job.roles.all()
        if self.instance.pk:
            self.initial["after"] = list(self.instance.follows.values_list("before", flat=True))
            self.initial["roles"] = list(self.instance.needs.values_list("role", flat=True))

    def clean_hours_high(self):
        hours = self.cleaned_data["hours_high"]
        if not hours:
            raise forms.ValidationError(_t("A task takes some time; type at least 0.1."))
        return hours

    def keep(self):
        """Store the task with its order and needs, in one go."""
        return self.carry_out(self._keep)

    def _keep(self):
        if self.instance.pk is None:
            last = self.instance.job.tasks.aggregate(last=Max("position"))["last"]
            self.instance.position = 0 if last is None else last + 1
        new = self.instance.pk is None
        own = [name for name in self.changed_data if name in self.Meta.fields]
        before = None if new else {name: self.initial.get(name) for name in own}
        task = self.save()
        if any(name.startswith("hours_") for name in own):
            Task.objects.filter(pk=task.pk).update(laid_hours=None, laid_jobs=0)  # now they are a person's
        if own:
            said = {name: self.cleaned_data[name] for name in own}
            audit.record(self.person, "planned" if new else "changed", task.about, before, said)
        task.follow(self.cleaned_data["after"], self.person)
        task.need(self.cleaned_data["roles"], self.person)
        return task


class DurationField(forms.CharField):
    """A length of time as typed: 1:30, 1.5 h, 90 min."""

    def to_python(self, value):
        text = super().to_python(value)
        if not text:
            return None
        try:
            return read_duration(text)
        except ValueError as error:
            raise forms.ValidationError(str(error)) from None


class TaskChoice(forms.ModelChoiceField):
    def label_from_instance(self, task):
        return f"{task.job} {task.job.title}: {task.name}"


class MomentField(forms.DateTimeField):
    """A moment by the workshop's clock; the hour that a clock change leaves out or repeats is refused in words."""

    def to_python(self, value):
        try:
            moment = super().to_python(value)
            # Sums in one zone go by the clock on the wall; in UTC by the time that passes.
            return moment and moment.astimezone(UTC)
        except forms.ValidationError as error:
            if error.code != "ambiguous_timezone":
                raise
            raise forms.ValidationError(
                _t("The clocks changed that night: this time was left out or came twice. Type a time before or after.")
            ) from None


def _moment(label, **kwargs):
    widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
    return MomentField(label=label, widget=widget, **kwargs)


class HoursForm(CarefulForm):
    """A stretch of work by hand, or the correction of one.

    entry: the entry to correct, None for a new one. tasks: the tasks to choose from.
    """

    task = TaskChoice(Task.objects.none(), label=_("Task"), empty_label=_("choose the task"))
    who = forms.ModelChoiceField(Person.objects.none(), label=_("Who"), empty_label=None)
    length = DurationField(
        label=_("How long"), required=False, help_text=_("1:30 or 1.5 h or 90 min. Alone it means: until now.")
    )
    started_at = _moment(_("From"), required=False)
    ended_at = _moment(_("Until"), required=False)
    note = forms.CharField(label=_("Note"), max_length=200, required=False)

    def __init__(self, *args, entry=None, tasks, **kwargs):
        self.entry = entry
        if entry:
            kwargs["initial"] = {
                "task": entry.task_id, "started_at": entry.started_at, "ended_at": entry.ended_at, "note": entry.note,
            }  # fmt: skip
        super().__init__(*args, subject=entry, **kwargs)
        self.fields["task"].queryset = tasks
        if entry or not self.person.is_owner:
            del self.fields["who"]
        else:
            self.fields["who"].queryset = Person.objects.filter(is_active=True)
            self.fields["who"].initial = self.person.pk

    def clean(self):
        data = super().clean()
        start, end, length = data.get("started_at"), data.get("ended_at"), data.get("length")
        if start and end and length:
            self.add_error("length", _("Give either an end or a length, not both."))
        if not start and not self.errors.keys() & {"started_at", "ended_at", "length"}:
            return self._counted_back(data, end, length)
        if start:
            data["started_at"] = self._exact("started_at", start)
            if length:
                data["ended_at"] = data["started_at"] + length
        if end:
            data["ended_at"] = self._exact("ended_at", end)
        if start and not (data.get("ended_at") or length or "length" in self.errors or "ended_at" in self.errors):
            self._needs_an_end()
        return data

    def _counted_back(self, data, end, length):
        """No beginning: so long until the end given, or until now."""
        if not length:
            self.add_error("started_at", _t("Say when the work began, or only how long it took."))
            return data
        data["ended_at"] = end or timezone.now()
        data["started_at"] = data["ended_at"] - length
        return data

    def _needs_an_end(self):
        still_runs = self.entry and self.entry.ended_at is None
        if still_runs and not self.entry.is_forgotten:
            return
        self.add_error("ended_at", _t("Say when the work ended, or how long it took."))

    def _exact(self, name, typed):
        """The page shows whole minutes: a moment nobody touched keeps its seconds, a new one meets its neighbour."""
        kept = getattr(self.entry, name, None)
        if kept and kept.replace(second=0, microsecond=0) == typed:
            return kept
        if name == "started_at":
            whose = self.entry.person if self.entry else self.cleaned_data.get("who") or self.person
            neighbours = HoursEntry.objects.filter(person=whose, ended_at__gt=typed, ended_at__lt=typed + MINUTE)
            return neighbours.values_list("ended_at", flat=True).first() or typed
        return typed

    def keep(self):
        return self.carry_out(self._keep)

    def _keep(self):
        data = {name: self.cleaned_data[name] for name in ("task", "started_at", "ended_at", "note")}
        if self.entry:
            self.entry.correct(by=self.person, **data)
            return self.entry
        who = self.cleaned_data.get("who") or self.person
        return HoursEntry.enter(person=who, by=self.person, **data)


def tasks_to_log(job=None, entry=None):
    """Tasks that hours may be put on: of one job, else of all live ones; always the entry's own job's too."""
    tasks = Task.objects.select_related("job").order_by("-job__number", "position", "pk")
    if job:
        return tasks.filter(job=job)
    live = tasks.exclude(job__stage__in=ENDED)
    return (live | tasks.filter(job=entry.task.job)) if entry else live


class WorkKindForm(CarefulModelForm):
    """A kind of work with its rate and what an hour of it costs."""

    rate = AmountField(label=_("Rate an hour"), min_value=0, decimal_places=2, max_digits=8)
    cost = AmountField(
        label=_("Cost an hour"), min_value=0, decimal_places=2, max_digits=8, help_text=_("What the hour costs you.")
    )

    class Meta:
        model = WorkKind
        fields = ["name", "rate", "cost", "position"]
