from django import forms

from parts.workshop.forms import CarefulModelForm

from .models import Client


class ClientForm(CarefulModelForm):
    class Meta:
        model = Client
        fields = ["name", "contact", "email", "phone", "address", "country", "tax_number", "note"]
        widgets = {
            "address": forms.Textarea(attrs={"rows": 3, "autocomplete": "street-address"}),
            "note": forms.Textarea(attrs={"rows": 3}),
        }
