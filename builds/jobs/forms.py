from django import forms
from django.utils.translation import gettext_lazy as _

from builds.clients.models import Client
from parts.workshop import audit
from parts.workshop.forms import AmountField, CarefulForm, CarefulModelForm, QuantityField
from parts.workshop.models import Workshop

from .models import Job


class EnquiryForm(CarefulForm):
    """A new enquiry: a client known or new, and a title. The rest of the brief can wait."""

    client = forms.ModelChoiceField(
        Client.objects.filter(erased_at=None),
        label=_("Client"),
        required=False,
        empty_label=_("a new client, named below"),
    )
    client_name = forms.CharField(label=_("New client's name"), max_length=120, required=False)
    client_email = forms.EmailField(label=_("New client's e-mail"), required=False)
    title = forms.CharField(
        label=_("What is wanted, in a few words"), max_length=120, help_text=_("As in: quiet cutting-room workstation.")
    )
    purpose = forms.CharField(label=_("What it is for"), required=False, widget=forms.Textarea(attrs={"rows": 3}))

    def clean(self):
        cleaned = super().clean()
        if not cleaned.get("client") and not cleaned.get("client_name") and "client" not in self.errors:
            self.add_error("client_name", _("Choose a client above or type the new client's name."))
        if cleaned.get("client") and cleaned.get("client_name"):
            self.add_error("client_name", _("Leave this empty for a client chosen above."))
        return cleaned

    def open_job(self):
        """Make the client if new, and open the job."""
        data = self.cleaned_data
        client = data["client"]
        if client is None:
            client = Client.objects.create(name=data["client_name"], email=data["client_email"])
            audit.record(self.person, "made", f"client {client}")
        return Job.open(client=client, title=data["title"], purpose=data["purpose"], by=self.person)


class BriefForm(CarefulModelForm):
    budget = AmountField(label=_("Budget"), required=False, min_value=0, decimal_places=2, max_digits=12)
    noise_wish_db = QuantityField(
        label=_("Noise wish"), unit="dB", lower=0, upper=90, required=False,
        help_text=_("Sound level at one metre, as in 28 dB(A)."),
    )  # fmt: skip
    room_warmest_c = QuantityField(
        label=_("Warmest the room gets"), unit="degC", lower=-10, upper=50, required=False,
        help_text=_("As in 27 °C. The thermal check needs it."),
    )  # fmt: skip

    class Meta:
        model = Job
        fields = [
            "title", "client", "purpose", "theme", "budget", "noise_wish_db", "room_warmest_c", "deadline",
            "client_supplies",
        ]  # fmt: skip
        widgets = {
            "purpose": forms.Textarea(attrs={"rows": 4}),
            "client_supplies": forms.Textarea(attrs={"rows": 3}),
            "deadline": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["budget"].suffix = Workshop.current().currency


class EndForm(CarefulForm):
    """Why an enquiry was lost or a job cancelled."""

    reason = forms.CharField(label=_("Reason"), max_length=200)


class PauseForm(CarefulForm):
    """Why a job waits; empty takes it up again."""

    reason = forms.CharField(
        label=_("Paused because"), max_length=200, required=False, help_text=_("Leave empty to take the job up again.")
    )
