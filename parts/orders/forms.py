from decimal import Decimal

from django import forms
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from parts.shelf.forms import PlaceField, SerialsField
from parts.shelf.models import Place
from parts.suppliers.models import Supplier
from parts.workshop.forms import AmountField, CarefulForm, CarefulModelForm
from parts.workshop.models import Workshop
from parts.workshop.photos import PhotoField

from .arrivals import Arrival
from .arriving import Came, LineRefused
from .models import Order

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class DraftForm(CarefulForm):
    supplier = forms.ModelChoiceField(Supplier.objects.all(), label=_("supplier"))

    def draft(self):
        return Order.draft(self.cleaned_data["supplier"], self.person)


class OrderForm(CarefulModelForm):
    """An order's head. What was agreed by placing it, currency and rate, stays; carriage and charges may come later."""

    class Meta:
        model = Order
        fields = ["reference", "currency", "rate", "carriage", "carriage_by", "import_charges", "charges_by"]
        field_classes = {"rate": AmountField, "carriage": AmountField, "import_charges": AmountField}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        ours = Workshop.current().currency
        self.fields["carriage"].suffix = self.instance.currency
        self.fields["import_charges"].suffix = ours
        if not self.instance.is_draft:
            del self.fields["currency"], self.fields["rate"]
        else:
            self.fields["rate"].help_text = _t("1 when they ask %(ours)s.") % {"ours": ours}

    def _save_recorded(self, verb):
        order = super()._save_recorded(verb)
        order.cost_arrivals()
        return order

    def clean_currency(self):
        code = self.cleaned_data["currency"].strip().upper()
        if len(code) != 3 or not code.isalpha() or not code.isascii():
            raise forms.ValidationError(_t("Three letters, as in EUR."))
        return code


class WeightField(AmountField):
    """What one of a part weighs, packed; for an order whose carriage or charges go by weight."""

    def __init__(self):
        super().__init__(
            label=_("weight of one, packed"), decimal_places=4, required=False, min_value=Decimal("0.0001"),
            help_text=_("Only where carriage or charges are shared by weight."),
        )  # fmt: skip
        self.suffix = "kg"


class LineForm(CarefulForm):
    """A line of a draft: a new one for a part, or one to correct."""

    quantity = AmountField(label=_("how many"), decimal_places=3)
    unit_price = AmountField(label=_("price each"), decimal_places=6)
    weight_kg = WeightField()

    def __init__(self, *args, order, part, line=None, **kwargs):
        super().__init__(*args, **kwargs)
        self.order, self.part, self.line = order, part, line
        self.fields["quantity"].suffix = part.unit if part.unit != "each" else ""
        self.fields["unit_price"].suffix = order.currency

    def keep(self):
        typed = {key: self.cleaned_data[key] for key in ("quantity", "unit_price", "weight_kg")}
        if self.line:
            return self.line.change(by=self.person, **typed)
        return self.order.add_line(self.part, by=self.person, **typed)


class PromiseForm(CarefulForm):
    """A line of a placed order: the date the supplier now gives, and what one weighs."""

    promised = forms.DateField(label=_("now promised for"), widget=DAY)
    weight_kg = WeightField()

    def __init__(self, *args, line, **kwargs):
        super().__init__(*args, initial={"promised": line.promised, "weight_kg": line.weight_kg}, **kwargs)
        self.line = line

    def keep(self):
        if self.cleaned_data["weight_kg"] != self.line.weight_kg:
            self.line.weigh(self.cleaned_data["weight_kg"], self.person)
        if {"promised", "weight_kg"} & {*self.changed_data} != {"weight_kg"}:
            self.line.promise(self.cleaned_data["promised"], self.person)


class CancelForm(CarefulForm):
    reason = forms.CharField(label=_("reason"), max_length=200, required=False)


class ReceiveForm(CarefulForm):
    """What came of one line. Everything but the quantity has a likely answer already."""

    quantity = AmountField(label=_("how many came"), decimal_places=3, widget=forms.NumberInput)
    condition = forms.ChoiceField(label=_("condition"), choices=Arrival.CONDITIONS, initial=Arrival.GOOD)
    place = PlaceField(required=False, widget=forms.TextInput({"list": "places", "autocomplete": "off"}), help_text="")
    serials = SerialsField()
    note = forms.CharField(label=_("note"), max_length=200, required=False)
    photo = PhotoField(help_text=_("Of damage above all: the supplier and the carrier will ask for it."))
    confirm = forms.BooleanField(label=_("The surplus stays here"), required=False)

    def __init__(self, *args, line, place="", **kwargs):
        kwargs.setdefault("auto_id", f"line{line.pk}-%s")
        start = {"quantity": line.outstanding.normalize().__format__("f"), "place": place}
        super().__init__(*args, initial=start, **kwargs)
        self.line = line
        step = "1" if line.part.unit == "each" else "0.1"
        self.fields["quantity"].widget.attrs |= {"step": step, "min": "0", "inputmode": "decimal", "required": True}

        self.over = False  # more came than is outstanding: the page then offers to confirm it

    def receive(self):
        data = self.cleaned_data
        keeps = data["condition"] == Arrival.GOOD and data["place"]
        try:
            return self.line.receive(
                data["quantity"], self.person, condition=data["condition"],
                place=Place.named(data["place"]) if keeps else None,
                serials=data["serials"], note=data["note"], confirm_over=data["confirm"], photo=data["photo"],
            )  # fmt: skip
        except LineRefused as refusal:
            self.over = refusal.over
            raise


class EverythingForm(CarefulForm):
    """The whole delivery in one go: all that is outstanding came in good order."""

    place = PlaceField(widget=forms.TextInput({"list": "places", "autocomplete": "off"}))

    def receive(self, order, lines):
        place = Place.named(self.cleaned_data["place"])
        return order.receive([Came(line.pk, line.outstanding, place=place) for line in lines], self.person)


class ReturnForm(CarefulForm):
    state = forms.ChoiceField(label=_("what happened"))
    credit = AmountField(
        label=_("credit"), decimal_places=2, required=False, min_value=0,
        help_text=_("What they give for it; only when it was credited."),
    )  # fmt: skip
    note = forms.CharField(label=_("note"), max_length=200, required=False)

    def __init__(self, *args, case, currency, **kwargs):
        kwargs.setdefault("auto_id", f"return{case.pk}-%s")
        super().__init__(*args, **kwargs)
        self.case = case
        self.fields["state"].choices = case.next_states
        if self.person.is_owner:
            self.fields["credit"].suffix = currency
        else:
            del self.fields["credit"]

    def move_on(self):
        data = self.cleaned_data
        return self.case.move_on(data["state"], self.person, data["note"], data.get("credit"))
