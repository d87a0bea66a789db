from django import forms
from django.utils.html import format_html, format_html_join
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from parts.workshop.forms import AmountField, CarefulForm
from parts.workshop.numbers import label
from parts.workshop.refusal import Refused

from . import labels
from .models import Place, Stock, Tray, Unit


class Suggesting(forms.TextInput):
    """A line to write on that offers what is known already; works without it."""

    def __init__(self, names, attrs=None):
        super().__init__({"autocomplete": "off", "maxlength": 60} | (attrs or {}))
        self.names = names

    def render(self, name, value, attrs=None, renderer=None):
        key = f"known-{name}"
        line = super().render(name, value, {**(attrs or {}), "list": key}, renderer)
        known = format_html_join("", '<option value="{}"></option>', ((each,) for each in self.names()))
        return format_html('{}<datalist id="{}">{}</datalist>', line, key, known)


def recent_trays():
    return Tray.objects.order_by("-is_free_shelf", "-pk").values_list("name", flat=True)[:40]


def known_places():
    return Place.objects.values_list("name", flat=True)[:200]


def scanning(**more):
    """Attributes that let scan.js offer the camera beside a field; without it one types, or a hand scanner does."""
    said = {"data-scan": _("Scan"), "data-scan-stop": _("Stop"), "data-scan-no": _("no camera; type it")}
    return said | more


def labelled(text, kind):
    """The place or tray whose label was scanned into a field; None for a text that is no label.

    ValidationError for a label of something else.
    """
    scanned = labels.read(text)
    if scanned is None:
        return None
    model = {labels.PLACE: Place, labels.TRAY: Tray}[kind]
    found = model.objects.filter(pk=scanned[1]).first() if scanned[0] == kind else None
    if found is None:
        raise forms.ValidationError(_t("This label belongs to something else; scan the right one or type the name."))
    return found


class TrayField(forms.CharField):
    """A tray by its name; a job's by its bare number too. Cleans to a Tray, or None when left empty."""

    def __init__(self, **kwargs):
        super().__init__(widget=Suggesting(recent_trays), label=kwargs.pop("label", _("tray")), **kwargs)
        self.widget.attrs |= scanning(maxlength=200)

    def clean(self, value):
        name = super().clean(value)
        if not name:
            return None
        if scanned := labelled(name, labels.TRAY):
            return scanned
        wanted = label("job", int(name)) if name.isdecimal() and len(name) < 10 else name
        tray = Tray.objects.filter(name__iexact=wanted).first()
        if tray is None:
            known = {"name": name, "free": Tray.free_shelf()}
            raise forms.ValidationError(
                _t("No tray is called “%(name)s”. Type a job's number as in J-0042, or “%(free)s”.") % known
            )
        return tray


class PlaceField(forms.CharField):
    """A place by its name or scanned label, new ones too.

    The name is kept; the change itself makes the place (Place.named).
    """

    def __init__(self, **kwargs):
        kwargs.setdefault("widget", Suggesting(known_places))
        kwargs.setdefault("help_text", _("Type a new name to make a new place."))
        super().__init__(label=kwargs.pop("label", _("place")), max_length=60, **kwargs)
        self.widget.attrs |= scanning(maxlength=200)  # a label's address is longer than a name

    def to_python(self, value):
        text = super().to_python(value)
        place = labelled(text, labels.PLACE)
        return place.name if place else text


class SerialsField(forms.CharField):
    """Serial numbers, one a line or with commas between; cleans to a list."""

    def __init__(self, **kwargs):
        kwargs.setdefault(
            "widget", forms.Textarea(attrs={"rows": 2, "autocapitalize": "characters", "spellcheck": "false"})
        )
        kwargs.setdefault("help_text", _("One a line; leave empty if it has none."))
        super().__init__(label=_("serial numbers"), required=False, max_length=4000, **kwargs)
        self.widget.attrs |= scanning(**{"data-scan-adds": ""})

    def clean(self, value):
        return [each.strip() for each in super().clean(value).replace(",", "\n").splitlines() if each.strip()]


class StockForm(CarefulForm):
    """What the forms over one stock row share: its serial numbers, when it has any."""

    def __init__(self, *args, stock, **kwargs):
        super().__init__(*args, **kwargs)
        self.stock = stock
        units = Unit.objects.filter(part=stock.part_id, tray=stock.tray_id, left=None).order_by("serial")
        if units:
            self.fields["units"] = forms.ModelMultipleChoiceField(
                units, required=False, widget=forms.CheckboxSelectMultiple, label=_("serial numbers that go"),
                help_text=_("Leave empty when everything goes."),
            )  # fmt: skip
            self.fields["units"].label_from_instance = lambda unit: unit.serial

    @property
    def units(self):
        return self.cleaned_data.get("units") or ()


class MoveForm(StockForm):
    quantity = AmountField(label=_("how many"), decimal_places=3)
    tray = TrayField(label=_("to the tray"), help_text=_("A job's number, or the free shelf."))
    place = PlaceField(label=_("at the place"), required=False, help_text=_("Leave empty to leave it where it lies."))
    reason = forms.CharField(label=_("reason"), max_length=100, required=False)

    def move(self):
        data = self.cleaned_data
        reason = data["reason"] or _t("to %(tray)s by hand") % {"tray": data["tray"]}
        return self.stock.move(
            tray=data["tray"], place=Place.named(data["place"]) if data["place"] else None,
            quantity=data["quantity"], reason=reason, by=self.person, units=self.units,
        )  # fmt: skip


class CountForm(StockForm):
    found = AmountField(label=_("counted"), decimal_places=3)
    reason = forms.CharField(label=_("reason"), max_length=100, help_text=_("As in “one was cracked”."))

    def count(self):
        data = self.cleaned_data
        if data["found"] < 0:
            raise Refused(_t("Type what lies there: zero or more."), "found")
        return self.stock.correct(found=data["found"], reason=data["reason"], by=self.person, units=self.units)


class SerialForm(CarefulForm):
    """A serial number that was misread or mistyped."""

    serial = forms.CharField(
        label=_("serial number"), max_length=80,
        widget=forms.TextInput(scanning(autocapitalize="characters", autocomplete="off", spellcheck="false")),
    )  # fmt: skip


class PutInForm(CarefulForm):
    quantity = AmountField(label=_("how many"), decimal_places=3)
    tray = TrayField(help_text=_("A job's number, or the free shelf."))
    place = PlaceField()
    owner = forms.ChoiceField(
        label=_("whose"), choices=Stock._meta.get_field("owner").choices, initial=Stock.OURS, widget=forms.RadioSelect
    )
    reason = forms.CharField(
        label=_("reason"), max_length=100, help_text=_("As in “counted anew” or “from the client, as new”.")
    )
    cost = AmountField(
        label=_("what all of it cost"), decimal_places=2, required=False,
        help_text=_("In the workshop's currency; leave empty when nobody knows."),
    )  # fmt: skip
    serials = SerialsField()

    def __init__(self, *args, part, **kwargs):
        super().__init__(*args, **kwargs)
        self.part = part
        if not self.person.is_owner:
            del self.fields["cost"]
        self.fields["quantity"].suffix = part.unit if part.unit != "each" else ""

    def put_in(self):
        data = {key: value for key, value in self.cleaned_data.items() if key != "once"}
        return Stock.put_in(part=self.part, by=self.person, **data | {"place": Place.named(data["place"])})
