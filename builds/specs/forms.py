from decimal import Decimal

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.checks.facts import BLOCKS, COOLED_BY, PUMPS
from builds.checks.headers import FED
from parts.kinds import kind_choices
from parts.workshop.forms import AmountField, CarefulForm, QuantityField

from .cable_forms import DEVICES
from .loops import Step
from .models import Role
from .runs import measured


class AddRoleForm(CarefulForm):
    """One more role in the spec."""

    kind = forms.ChoiceField(
        label=_("kind of part"), choices=lambda: [("", _("choose the kind")), *kind_choices()],
        error_messages={"required": _("Choose what kind of part it is for.")},
    )  # fmt: skip
    name = forms.CharField(
        label=_("what it is for"),
        max_length=60,
        required=False,
        help_text=_("As in “front radiator”. Left empty, it gets a name."),
        widget=forms.TextInput(attrs={"list": "role-names", "autocomplete": "off"}),
    )


class LineForm(CarefulForm):
    """A role's name, and how much of its part goes in."""

    name = forms.CharField(label=_("what it is for"), max_length=60)
    quantity = AmountField(label=_("quantity"), decimal_places=3, max_digits=9, min_value=Decimal("0.001"))
    client_supplied = forms.BooleanField(label=_("the client supplies it"), required=False)
    remark = forms.CharField(label=_("remark"), max_length=200, required=False)
    fed_from = forms.ModelChoiceField(Role.objects.none(), required=False, label=_("fed from"),
                                      help_text=_("Board, controller or supply."))  # fmt: skip
    feeds = forms.ModelChoiceField(Role.objects.none(), required=False, label=_("leads to"),
                                   help_text=_("The device that this cable feeds."))  # fmt: skip
    outlets = forms.IntegerField(min_value=1, max_value=64, required=False, label=_("spread over so many outputs"),
                                 help_text=_("Headers or outputs; several on one hang on a splitter."))  # fmt: skip

    def __init__(self, *args, line=None, role, **kwargs):
        started = {"name": role.name}
        if line:
            started |= {"quantity": f"{line.quantity.normalize():f}", "client_supplied": line.client_supplied}
            started |= {"remark": line.remark, "fed_from": line.fed_from_id, "feeds": line.feeds_id}
            started["outlets"] = line.outlets
        super().__init__(*args, initial=started, **kwargs)
        self.unit = line.part.unit if line else ""
        if line is None:
            for name in ("quantity", "client_supplied", "remark"):
                del self.fields[name]
        elif self.unit != "each":
            self.fields["quantity"].suffix = self.unit
        if line is None or role.kind not in (*FED, "cable"):
            del self.fields["fed_from"]
        else:
            here = Role.objects.filter(lines__spec=line.spec_id)
            sources = here.filter(kind__in=("board", "controller", "power_supply"))
            self.fields["fed_from"].queryset = sources.exclude(pk=role.pk)
            self.fields["feeds"].queryset = here.filter(kind__in=DEVICES)
        if line is None or role.kind != "cable":
            del self.fields["feeds"]
        if line is None or role.kind not in FED:
            del self.fields["outlets"]

    def values(self):
        return {name: self.cleaned_data[name] for name in self.fields if name not in {"once", "version"}}

    def clean_quantity(self):
        quantity = self.cleaned_data["quantity"]
        if self.unit == "each" and quantity != quantity.to_integral_value():
            raise forms.ValidationError(_("This part is counted in whole pieces; type 1, 2, 3 …"))
        return quantity


class AddLoopForm(CarefulForm):
    name = forms.CharField(label=_("name of the loop"), max_length=40, required=False, help_text=_("Empty: “loop”."))


class LoopForm(CarefulForm):
    """What tubes and case add to a loop."""

    name = forms.CharField(label=_("name"), max_length=40)
    tube_length_mm = QuantityField(unit="mm", lower=0, upper=100_000, label=_("tube, all runs"),
                                   help_text=_("As in 2.1 m or 2100 mm."))  # fmt: skip
    fitting_loss = QuantityField(unit="1", lower=0, upper=1000, label=_("sum of fitting losses"),
                                 help_text=_("About 1 for an angle, 0.5 for a straight fitting."))  # fmt: skip
    case_heat_w = QuantityField(unit="W", lower=0, upper=5000, label=_("heat of other parts into case air"),
                                help_text=_("Without what a block cools: that goes into the coolant."))  # fmt: skip
    case_air_flow_m3h = QuantityField(unit="m3/h", lower=0, upper=5000,
                                      label=_("air through the case besides radiators"))  # fmt: skip
    altitude_m = QuantityField(unit="m", lower=-430, upper=5000, label=_("altitude it will stand at"),
                               help_text=_("Thin air carries less heat: about a tenth less at 1000 m."))  # fmt: skip

    air_ml = QuantityField(unit="mL", lower=0, upper=20_000, required=False, label=_("air left in when it is closed"),
                           help_text=_("At least 15 % of the coolant, or fit a breather."))  # fmt: skip
    breather = forms.BooleanField(required=False, label=_("it has a breather"))

    NAMES = ("name", "tube_length_mm", "fitting_loss", "case_heat_w", "case_air_flow_m3h", "altitude_m", "air_ml",
             "breather")  # fmt: skip

    def __init__(self, *args, loop, **kwargs):
        super().__init__(*args, initial={name: getattr(loop, name) for name in self.NAMES}, **kwargs)
        if measured(list(loop.steps.all()), loop.runs.all()):
            for name in ("tube_length_mm", "fitting_loss"):
                self.fields[name].help_text = _("Not used: all runs are measured, and count instead.")

    def values(self):
        return {name: self.cleaned_data[name] for name in self.NAMES}


class StepForm(CarefulForm):
    """How one component in the loop is run; only what its kind knows is asked."""

    speed = QuantityField(unit="1", lower=0, upper=1.5, label=_("speed, of rated"), help_text=_("As in 0.75 or 75 %."))
    cools = forms.ModelChoiceField(Role.objects.none(), required=False, label=_("cools"))
    fans = forms.ModelChoiceField(Role.objects.none(), required=False, label=_("fans"))
    fan_count = forms.IntegerField(min_value=0, max_value=64, label=_("fans on it"),
                                   help_text=_("All of them, both rows together."))  # fmt: skip
    layers = forms.TypedChoiceField(
        coerce=int, choices=[(1, _("one row")), (2, _("both sides: push and pull"))], label=_("rows of fans")
    )
    place = forms.ChoiceField(
        choices=[("", _("not chosen")), *Step.PLACES], required=False, label=_("place in the case")
    )
    draws_from = forms.ChoiceField(choices=Step.AIR, label=_("draws air from"))
    blows_to = forms.ChoiceField(choices=Step.AIR, label=_("blows air to"))
    grille_loss = QuantityField(unit="1", lower=0, upper=50, label=_("loss of grille or filter"),
                                help_text=_("0 for a bare radiator, 1.5 behind a panel or filter."))  # fmt: skip

    ports_at = forms.ChoiceField(
        choices=[("", _("not said")), *Step.PORTS_AT], required=False, label=_("its ports look")
    )
    screws = forms.ModelChoiceField(Role.objects.none(), required=False, label=_("screws of its fans"),
                                    help_text=_("A consumable in the spec, with thread and length."))  # fmt: skip
    screw_through = forms.ChoiceField(
        choices=[("", _("not said")), *Step.THROUGH], required=False, label=_("the screws pass")
    )
    screw_extra_mm = QuantityField(unit="mm", lower=0, upper=60, required=False,
                                   label=_("washers and grille under their heads"))  # fmt: skip
    gasket_mm = QuantityField(unit="mm", lower=0, upper=60, required=False, label=_("gasket and grille in its stack"),
                              help_text=_("It makes the stack deeper, and the screws pass it too."))  # fmt: skip
    retapped = forms.BooleanField(required=False, label=_("its fan holes are re-tapped to M4"))

    ASKED = {
        "radiator": ("speed", "fans", "fan_count", "layers", "place", "draws_from", "blows_to", "grille_loss",
                     "gasket_mm", "ports_at", "screws", "screw_through", "screw_extra_mm", "retapped"),
        **dict.fromkeys(BLOCKS, ("cools",)),
        **dict.fromkeys(PUMPS, ("speed",)),
    }  # fmt: skip

    def __init__(self, *args, step, **kwargs):
        self.asked = self.ASKED.get(step.kind, ())
        super().__init__(*args, initial={name: getattr(step, name) for name in self.asked}, **kwargs)
        for name in [name for name in self.fields if name not in (*self.asked, "once", "version")]:
            del self.fields[name]
        here = Role.objects.filter(lines__spec=step.loop.spec_id)
        if "cools" in self.fields:
            self.fields["cools"].queryset = here.filter(kind=COOLED_BY[step.kind])
        if "fans" in self.fields:
            self.fields["fans"].queryset = here.filter(kind="fan")
            self.fields["screws"].queryset = here.filter(kind="consumable")
        if "speed" in self.fields:
            self.fields["speed"].label = (
                _("fan speed, of rated") if step.kind == "radiator" else _("pump speed, of rated")
            )

    def clean(self):
        said = super().clean()
        count, layers = said.get("fan_count"), said.get("layers")
        if count and layers and count % layers:
            self.add_error("fan_count", _("Fans on both sides come in pairs; type an even number."))
        if count and not said.get("fans"):
            self.add_error("fans", _("Choose which fans these are."))
        if said.get("screws") and not said.get("screw_through"):
            self.add_error("screw_through", _("Choose what the screws pass; their depth hangs on it."))
        return said

    def values(self):
        said = {name: self.cleaned_data[name] for name in self.asked}
        return said | {name: said[name] or 0.0 for name in ("screw_extra_mm", "gasket_mm") if name in said}


class WaiverForm(CarefulForm):
    reason = forms.CharField(
        label=_("why it is good all the same"), widget=forms.Textarea, max_length=2000, strip=True,
        help_text=_("It stands in the job's record. It lapses as soon as a number of the finding changes."),
    )  # fmt: skip


class AsideForm(CarefulForm):
    reason = forms.CharField(
        label=_("why these readings are not to count"), max_length=300, strip=True,
        help_text=_("As in “a fan was turned round” or “the room was read in the exhaust”. It can be taken back."),
    )  # fmt: skip
