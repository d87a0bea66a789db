"""The look of all documents."""

from django import forms
from django.utils.translation import gettext_lazy as _

from parts.workshop import audit
from parts.workshop.forms import CarefulModelForm
from parts.workshop.models import Workshop
from parts.workshop.photos import MOST_BYTES
from parts.workshop.refusal import Refused

from .look import clean_logo, keep_logo


class LookForm(CarefulModelForm):
    """Logo, two colours, paper."""

    logo = forms.FileField(
        label=_("logo"), required=False, widget=forms.FileInput(attrs={"accept": "image/png,image/jpeg,image/webp"}),
        help_text=_("PNG, JPEG or WebP; it is made anew, nothing else of the file is kept."),
    )  # fmt: skip
    without_logo = forms.BooleanField(label=_("no logo"), required=False)
    ALSO = ("logo_sha256",)

    class Meta:
        model = Workshop
        fields = ["tube_colour", "rule_colour", "paper"]
        widgets = {name: forms.TextInput(attrs={"type": "color"}) for name in ("tube_colour", "rule_colour")}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if not self.instance.logo_sha256:
            del self.fields["without_logo"]

    def clean_logo(self):
        """The logo made anew, or None."""
        sent = self.cleaned_data["logo"]
        if not sent:
            return None
        try:
            return clean_logo(sent.read(MOST_BYTES + 1))
        except Refused as said:
            raise forms.ValidationError(said.message) from None

    def _save_recorded(self, verb):
        before, png = self.instance.logo_sha256, self.cleaned_data.get("logo")
        if png:
            self.instance.logo_sha256 = keep_logo(png)
        elif self.cleaned_data.get("without_logo"):
            self.instance.logo_sha256 = ""
        saved = super()._save_recorded(verb)
        if before != saved.logo_sha256:
            audit.record(self.person, "changed logo", "workshop", {"logo": before}, {"logo": saved.logo_sha256})
        return saved
