from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from parts.catalogue.carriage import CARRIAGE
from parts.workshop.forms import AmountField, CarefulModelForm

from .models import Supplier, SupplierPrice


class SupplierForm(CarefulModelForm):
    carriage = AmountField(label=_("Usual carriage"), min_value=0, decimal_places=2, max_digits=10)
    free_carriage_from = AmountField(
        label=_("Carriage free from"), min_value=0, decimal_places=2, max_digits=12, required=False
    )
    minimum_order = AmountField(label=_("Minimum order"), min_value=0, decimal_places=2, max_digits=12, required=False)

    class Meta:
        model = Supplier
        fields = [
            "name", "currency", "usual_rate", "lead_days", "carriage", "free_carriage_from", "minimum_order", "account",
            "email", "web", "note",
        ]  # fmt: skip
        field_classes = {"usual_rate": AmountField}
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}
        help_texts = {"currency": _("Three letters, as in EUR: what their prices and carriage are in.")}

    def clean_currency(self):
        code = self.cleaned_data["currency"].strip().upper()
        if not (len(code) == 3 and code.isascii() and code.isalpha()):
            raise forms.ValidationError(_("Three letters, as in EUR (ISO 4217)."))
        return code


class PriceForm(CarefulModelForm):
    """What one supplier asks for one part."""

    price = AmountField(label=_("Price"), min_value=0, decimal_places=4, max_digits=12)
    pack_size = AmountField(
        label=_("Pack size"), decimal_places=3, max_digits=10, initial=1,
        help_text=_("How much that price buys, in the part's unit: 1, or 10 for a bag of ten."),
    )  # fmt: skip

    class Meta:
        model = SupplierPrice
        fields = ["supplier", "price", "pack_size", "code", "lead_days", "carriage_class", "link", "seen_on"]
        widgets = {"seen_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")}
        help_texts = {
            "lead_days": _("Empty: the supplier's usual."),
            "code": _("As it must stand on an order."),
            "carriage_class": _("How it travels. What is bulky or dangerous may cost more than the usual carriage."),
        }

    def __init__(self, *args, part, **kwargs):
        super().__init__(*args, **kwargs)
        self.part = self.instance.part = part
        self.fields["carriage_class"].choices = [("", _("not said")), *CARRIAGE]
        if self.instance.pk:
            self.fields["supplier"].disabled = True
        else:
            self.fields["supplier"].empty_label = _("choose the supplier")
            self.fields["supplier"].queryset = Supplier.objects.exclude(prices__part=part)
            self.fields["seen_on"].initial = timezone.localdate()

    def clean_pack_size(self):
        size = self.cleaned_data["pack_size"]
        if size <= 0:
            raise forms.ValidationError(_("More than nothing: 1 when the price is for one."))
        return size

    def clean_link(self):
        link = self.cleaned_data["link"].strip()
        if link and not link.startswith(("https://", "http://")):
            raise forms.ValidationError(_("A web address that begins with https://."))
        return link
