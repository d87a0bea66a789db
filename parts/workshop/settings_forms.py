"""The owner's own pages: the workshop's settings, its people, its tax."""

import zoneinfo
from decimal import Decimal

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.utils.translation import gettext_lazy as _

from .forms import AmountField, CarefulModelForm, QuantityField
from .models import Person, TaxRule, Workshop


class WorkshopForm(CarefulModelForm):
    time_zone = forms.ChoiceField(label=_("Time zone"))
    weekly_hours = AmountField(
        label=_("Bench hours a week"), min_value=Decimal("0.5"), max_value=400, decimal_places=1, max_digits=5,
        help_text=_("All hands together, hours really spent at the bench."),
    )  # fmt: skip
    margin_percent = AmountField(
        label=_("Usual margin on parts, %"), min_value=0, max_value=95, decimal_places=2, max_digits=5,
        help_text=_("Per cent of the selling price."),
    )  # fmt: skip
    handling_charge = AmountField(
        label=_("Handling of a part the client brings"), min_value=0, decimal_places=2, max_digits=10,
        help_text=_("A line of its own on the quote; 0 for none."),
    )  # fmt: skip
    room_warmest_c = QuantityField(
        label=_("Warmest room assumed"), unit="degC", lower=5, upper=50,
        help_text=_("What a new job's cooling is reckoned for, as in 26 °C."),
    )  # fmt: skip

    class Meta:
        model = Workshop
        fields = [
            "name", "address", "country", "email", "phone", "tax_number", "currency", "time_zone", "paper",
            "weekly_hours", "holidays_of", "margin_percent", "handling_charge", "quote_days", "room_warmest_c",
            "included_text", "excluded_text", "terms_text",
        ]  # fmt: skip
        widgets = {
            name: forms.Textarea(attrs={"rows": 3})
            for name in ("address", "included_text", "excluded_text", "terms_text")
        }
        help_texts = {
            "currency": _("Three letters, as in EUR. What is priced already keeps its numbers."),
            "country": _("Two letters, as in NL; electronic invoices name it."),
        }

    GROUPS = (
        (_("On every document"), ("name", "address", "country", "email", "phone", "tax_number", "paper")),
        (_("Money"), ("currency", "margin_percent", "handling_charge", "quote_days")),
        (_("Time"), ("weekly_hours", "holidays_of", "time_zone")),
        (_("Cooling"), ("room_warmest_c",)),
        (_("Words on a quote"), ("included_text", "excluded_text", "terms_text")),
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        zones = sorted({*zoneinfo.available_timezones(), self.instance.time_zone})
        self.fields["time_zone"].choices = [(zone, zone) for zone in zones]

    @property
    def groups(self):
        """[(heading, [bound field])] for the page."""
        return [(heading, [self[name] for name in names]) for heading, names in self.GROUPS]


class PersonForm(CarefulModelForm):
    """Somebody who works here. A password is typed for them, and only when it is to be new."""

    password_new = forms.CharField(
        label=_("New password"), required=False, strip=False, max_length=128,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text=_("At least ten characters; leave empty to keep the present one."),
    )  # fmt: skip

    ALSO = ("password",)

    class Meta:
        model = Person
        fields = ["username", "first_name", "last_name", "email", "role", "is_active"]
        labels = {"username": _("Name to sign in with"), "is_active": _("May sign in")}
        help_texts = {
            "username": _("Letters, digits and @ . + - _."),
            "role": _("The owner sees everything; the workshop role sees no prices and no client's contact."),
            "is_active": _("Take the tick away when somebody leaves; what they did stays under their name."),
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if not self.instance.pk:
            self.fields["password_new"].required = True
            self.fields["password_new"].label = _("Password")
            self.fields["password_new"].help_text = _("At least ten characters; tell it them by word of mouth.")
            del self.fields["is_active"]

    def _post_clean(self):
        super()._post_clean()
        password = self.cleaned_data.get("password_new")
        if password:
            try:
                validate_password(password, self.instance)
            except forms.ValidationError as error:
                self.add_error("password_new", error)

    def _save_recorded(self, verb):
        if self.cleaned_data.get("password_new"):
            self.instance.set_password(self.cleaned_data["password_new"])
        person = super()._save_recorded(verb)
        Person.objects.check_owner_left()
        return person


class TaxRuleForm(CarefulModelForm):
    percent = AmountField(label=_("Per cent"), min_value=0, max_value=100, decimal_places=3, max_digits=6)

    class Meta:
        model = TaxRule
        fields = ["name", "category", "percent", "starts", "ends", "note"]
        widgets = {
            name: forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d") for name in ("starts", "ends")
        }  # fmt: skip
        help_texts = {
            "ends": _("The last day it holds; empty while no end is known."),
            "note": _("As the law asks for it, for example why no tax is charged."),
        }

    def clean(self):
        said = super().clean()
        starts, ends = said.get("starts"), said.get("ends")
        if starts and ends and ends < starts:
            self.add_error("ends", _("The last day is before the first; type a later one, or leave it empty."))
        if said.get("category") in {"Z", "E"} and said.get("percent"):
            self.add_error("percent", _("A zero rate or an exemption has 0 per cent."))
        return said
