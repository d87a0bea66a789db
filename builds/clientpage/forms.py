"""What a client may type, and what the owner types to make a link."""

from datetime import timedelta

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from parts.workshop.forms import CarefulForm

from .models import USUAL_DAYS


class YesForm(CarefulForm):
    """The client's yes: his name and a tick."""

    name = forms.CharField(
        label=_("your name"), max_length=120, widget=forms.TextInput(attrs={"autocomplete": "name"}),
        error_messages={"required": _("Type your name; it stands for your signature.")},
    )  # fmt: skip
    sure = forms.BooleanField(
        label=_("I have read this offer with its terms and accept it."),
        error_messages={"required": _("Tick this if you accept; nothing is agreed without it.")},
    )


class NoForm(CarefulForm):
    """The client's no."""

    reason = forms.CharField(label=_("a word to the workshop"), max_length=200, required=False)


def usual_end():
    return timezone.localdate() + timedelta(days=USUAL_DAYS)


class LinkForm(CarefulForm):
    whom = forms.CharField(label=_("for whom"), max_length=60, required=False)
    expires_on = forms.DateField(
        label=_("opens until"), initial=usual_end, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    by_mail = forms.BooleanField(label=_("send it to the client by e-mail"), required=False)

    def __init__(self, *args, email="", **kwargs):
        super().__init__(*args, **kwargs)
        if not email:
            del self.fields["by_mail"]
        else:
            self.fields["by_mail"].label = _("send it by e-mail to %(email)s") % {"email": email}
