from django import forms
from django.utils.translation import gettext_lazy as _

from parts.shelf.forms import PlaceField, SerialsField
from parts.shelf.models import Place
from parts.workshop.forms import AmountField, CarefulForm
from parts.workshop.photos import PhotoField

from .ordering import bring, make_orders

WISHES = [("price", _("smallest sum")), ("date", _("shortest lead time"))]


class BuyForm(CarefulForm):
    """How to buy: by price or date, from whom each part, and whether to join drafts that stand already."""

    wish = forms.ChoiceField(label=_("choose suppliers by"), choices=WISHES, initial="price")
    join = forms.BooleanField(
        label=_("Add to drafts that stand for these suppliers already"), required=False, initial=True
    )

    @property
    def fixed(self):
        """{part id: supplier id} as chosen on the page; anything else in the posted data is passed over."""
        chosen = {}
        for name, value in self.data.items():
            part = name.removeprefix("from-")
            if part != name and part.isdecimal() and value.isdecimal() and max(len(part), len(value)) < 18:
                chosen[int(part)] = int(value)
        return chosen

    def make(self, job):
        data = self.cleaned_data
        return make_orders(job, self.person, fixed=self.fixed, wish=data["wish"], join=data["join"])


class BroughtForm(CarefulForm):
    """A client's own part comes in."""

    quantity = AmountField(label=_("how many"), decimal_places=3)
    condition = forms.CharField(
        label=_("condition"), max_length=90, help_text=_("What you see, as in “used, two screws missing”.")
    )
    place = PlaceField()
    serials = SerialsField()
    photo = PhotoField(help_text=_("Of the part as it came: it protects both sides."))

    def bring(self, job, line):
        data = self.cleaned_data
        return bring(
            job, line, self.person, quantity=data["quantity"], place=Place.named(data["place"]),
            condition=data["condition"], serials=data["serials"], photo=data["photo"],
        )  # fmt: skip
