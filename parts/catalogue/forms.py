"""A part's form, made from what its kind declares."""

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from parts.kinds import FactError, read_fact, write_fact
from parts.workshop.forms import CarefulForm, CarefulModelForm
from parts.workshop.photos import PhotoField

from .models import Fact, Part


class FactField(forms.Field):
    """One fact of a kind, typed as a person would; a float in the declared unit, a text, or None for not known."""

    def __init__(self, spec):
        self.spec = spec
        super().__init__(label=capfirst(spec.label), help_text=spec.help, required=False, widget=self._widget(spec))

    @staticmethod
    def _widget(spec):
        if spec.unit == "yes":
            return forms.Select(
                choices=[("", _("not known")), (write_fact(spec, 1.0),) * 2, (write_fact(spec, 0.0),) * 2]
            )
        if spec.choices and spec.many:
            return forms.CheckboxSelectMultiple(choices=[(choice, choice) for choice in spec.choices])
        if spec.choices:
            return forms.Select(choices=[("", _("not known")), *((choice, choice) for choice in spec.choices)])
        return forms.TextInput(attrs={"autocomplete": "off", "placeholder": spec.example})

    def to_python(self, value):
        text = ", ".join(value) if isinstance(value, list) else (value or "")
        if not text.strip():
            return None
        try:
            return read_fact(self.spec, text)
        except FactError as error:
            raise forms.ValidationError(str(error)) from None

    def prepare_value(self, value):
        if isinstance(value, float):
            return write_fact(self.spec, value)
        if isinstance(value, str) and self.spec.choices and self.spec.many:
            return value.split(", ")
        return value

    def has_changed(self, initial, data):
        try:
            return self.to_python(data) != initial
        except forms.ValidationError:
            return True


class PartForm(CarefulModelForm):
    """A part and its facts. The facts shown are the best known; those that change get the chosen origin."""

    origin = forms.ChoiceField(
        label=_("Where these facts come from"), choices=Fact.ORIGINS, initial=Fact.DECLARED,
        widget=forms.RadioSelect(attrs={"class": "in-a-row"}),
        help_text=_("Kept with each fact you change here; the others keep their own."),
    )  # fmt: skip

    ALSO = ("search",)

    class Meta:
        model = Part
        fields = ["name", "maker", "model", "warranty_months", "note", "withdrawn", "successor"]
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}
        help_texts = {
            "maker": _("As the workshop writes it."),
            "withdrawn": _("No longer sold. Specs that hold it will say so."),
            "successor": _("What to offer in its place."),
        }

    def __init__(self, *args, kind, **kwargs):
        super().__init__(*args, **kwargs)
        self.kind = kind
        self.instance.kind = kind.key
        self.known = self.instance.known if self.instance.pk else {}
        self.fields["successor"].queryset = Part.objects.offered().filter(kind=kind.key).exclude(pk=self.instance.pk)
        self.fields["successor"].empty_label = _("none")
        if not self.instance.pk:
            del self.fields["withdrawn"], self.fields["successor"]
        for spec in kind.facts:
            field = FactField(spec)
            field.initial = self.known[spec.name].value if spec.name in self.known else None
            self.fields[f"fact_{spec.name}"] = field

    @property
    def part_fields(self):
        return [field for field in self.visible_fields() if not field.name.startswith(("fact_", "origin"))]

    @property
    def fact_fields(self):
        return [self[f"fact_{spec.name}"] for spec in self.kind.facts]

    def clean_name(self):
        name = " ".join(self.cleaned_data["name"].split())
        if Part.objects.filter(kind=self.kind.key, name=name).exclude(pk=self.instance.pk).exists():
            raise forms.ValidationError(
                _("There is a %(kind)s of this name already. Change that one, or add what tells them apart."),
                params={"kind": self.kind.label},
            )
        return name

    def changed_facts(self):
        """{name: value or None} of the facts the person changed."""
        names = [spec.name for spec in self.kind.facts if f"fact_{spec.name}" in self.changed_data]
        return {name: self.cleaned_data[f"fact_{name}"] for name in names if f"fact_{name}" in self.cleaned_data}

    def clean(self):
        cleaned = super().clean()
        values = {name: fact.value for name, fact in self.known.items()} | self.changed_facts()
        for name, sentence in self.kind.contradictions(values):
            if f"fact_{name}" not in self.errors:
                self.add_error(f"fact_{name}", sentence)
        return cleaned

    def _save_recorded(self, verb):
        part = super()._save_recorded(verb)
        changed = self.changed_facts()
        for origin in {self.known[name].origin for name, value in changed.items() if value is None}:
            gone = [n for n, value in changed.items() if value is None and self.known[n].origin == origin]
            part.set_facts(dict.fromkeys(gone), origin, self.person)
        stated = {name: value for name, value in changed.items() if value is not None}
        part.set_facts(stated, self.cleaned_data["origin"], self.person)
        return part

    def _say_what_changed(self):
        super()._say_what_changed()
        for name, fact in Part.objects.with_facts().get(pk=self.instance.pk).known.items():
            if f"fact_{name}" in self.fields and self.cleaned_data.get(f"fact_{name}") != fact.value:
                self.add_error(f"fact_{name}", _("Now stored: %(theirs)s") % {"theirs": fact.shown})


class FactForm(CarefulForm):
    """One fact of a part as measured, as declared and as remembered, each for itself; empty forgets it."""

    def __init__(self, *args, spec, **kwargs):
        super().__init__(*args, **kwargs)
        self.spec = spec
        self.stored = {fact.origin: fact.value for fact in self.subject.facts.all() if fact.name == spec.name}
        for origin, label in Fact.ORIGINS:
            field = FactField(spec)
            field.label, field.initial = capfirst(label), self.stored.get(origin)
            field.help_text = spec.help if origin == Fact.MEASURED else ""
            self.fields[origin] = field

    def store(self):
        return self.carry_out(self._set)

    def _set(self):
        for origin, _label in Fact.ORIGINS:
            if self.cleaned_data[origin] != self.stored.get(origin):
                self.subject.set_fact(self.spec.name, self.cleaned_data[origin], origin, self.person)

    def _say_what_changed(self):
        super()._say_what_changed()
        for fact in Fact.objects.filter(part=self.subject, name=self.spec.name).select_related("part"):
            if self.cleaned_data.get(fact.origin) != fact.value:
                self.add_error(fact.origin, _("Now stored: %(theirs)s") % {"theirs": fact.shown})


class PictureForm(CarefulForm):
    """The photo that a part is known by: a new one, or none."""

    photo = PhotoField(
        label=_("Photo"),
        help_text=_("Of the part itself. Place, time and camera that the file carries are not kept."),
    )
    away = forms.BooleanField(label=_("Take the photo away"), required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if not self.subject.photo_id:
            del self.fields["away"]

    def clean(self):
        said = super().clean()
        if not self.errors and not said["photo"] and not said.get("away"):
            self.add_error("photo", _("Take or choose a photo."))
        return said

    def store(self):
        return self.carry_out(lambda: self.subject.picture(self.cleaned_data["photo"], self.person))

    def _say_what_changed(self):
        """The photo that was stored meanwhile stands on the page beside the form."""
        super()._say_what_changed()
        self.errors.pop("photo", None)
        self.subject.refresh_from_db()
