from django import forms
from django.utils.translation import gettext_lazy as _

from builds.checks.wire import FREE_AIR_A
from parts.workshop.forms import CarefulForm, QuantityField

from .cut_list import signal_said, wired
from .models import Role

CONNECTORS = [
    ("board 24", _("board, 24 pins")), ("processor 2×2", _("processor, 2×2")), ("processor 2×4", _("processor, 2×4")),
    ("graphics 2×3", _("graphics, 2×3")), ("graphics 2×4", _("graphics, 2×4")), ("16-pin", _("graphics, 16 pins")),
    ("drive", _("drive, flat")), ("disk 4", _("disk, 4 pins")),
]  # fmt: skip
DEVICES = ("board", "processor", "graphics", "drive", "pump", "pump_reservoir", "controller", "other")


class CableForm(CarefulForm):
    """A cable: where it leads, and what was measured of it."""

    name = forms.CharField(max_length=60, label=_("name"), help_text=_("As in “graphics cable, left”."))
    supply = forms.ModelChoiceField(Role.objects.none(), label=_("power supply"))
    supply_connector = forms.ChoiceField(choices=[("", _("choose")), *CONNECTORS], label=_("connector at the supply"))
    device = forms.ModelChoiceField(Role.objects.none(), label=_("feeds"))
    device_connector = forms.ChoiceField(choices=[("", _("choose")), *CONNECTORS], label=_("connector at the device"))
    awg = forms.TypedChoiceField(
        coerce=int, empty_value=None, required=False, label=_("wire gauge, AWG"),
        choices=[("", _("not chosen")), *((awg, f"AWG {awg}") for awg in FREE_AIR_A)],
    )  # fmt: skip
    colour = forms.CharField(max_length=30, required=False, label=_("colour"),
                             help_text=_("Empty: the usual colour of each signal."))  # fmt: skip
    routed_mm = QuantityField(unit="mm", lower=10, upper=5000, required=False, label=_("routed length"),
                              help_text=_("By string, along the way it lies; 35 mm are added to a wire."))  # fmt: skip
    bend_mm = QuantityField(unit="mm", lower=0, upper=500, required=False, label=_("straight behind the 16-pin plug"),
                            help_text=_("Before the first bend; 35 mm at least."))  # fmt: skip
    sense_w = forms.TypedChoiceField(
        coerce=int, empty_value=None, required=False, label=_("sense rating of a 16-pin plug"),
        choices=[("", _("not known")), *((watt, f"{watt} W") for watt in (150, 300, 450, 600))],
    )  # fmt: skip

    NAMES = ("name", "supply", "supply_connector", "device", "device_connector", "awg", "colour", "routed_mm",
             "bend_mm", "sense_w")  # fmt: skip

    def __init__(self, *args, spec, cable=None, **kwargs):
        stored = {name: getattr(cable, name) for name in self.NAMES} if cable else {}
        super().__init__(*args, initial=stored, **kwargs)
        here = Role.objects.filter(lines__spec=spec)
        self.fields["supply"].queryset = here.filter(kind="power_supply")
        self.fields["device"].queryset = here.filter(kind__in=DEVICES)
        for name in ("supply", "device"):
            self.fields[name].empty_label = _("choose")
        if cable is None:
            supplies = self.fields["supply"].queryset[:2]
            self.fields["supply"].initial = supplies[0] if len(supplies) == 1 else None

    def values(self):
        return {name: self.cleaned_data[name] for name in self.NAMES}


class PinOutForm(CarefulForm):
    """The pin of the supply for each pin of the device's connector."""

    def __init__(self, *args, pin_out, **kwargs):
        super().__init__(*args, **kwargs)
        self.pins = wired(pin_out.device_connector)
        for pin, signal in self.pins:
            self.fields[f"pin_{pin}"] = forms.CharField(
                required=False, max_length=4, initial=pin_out.map.get(pin, ""), label=f"{pin}: {signal_said(signal)}"
            )

    def rows(self):
        """[(pin, signal, its bound field)]"""
        return [(pin, signal_said(signal), self[f"pin_{pin}"]) for pin, signal in self.pins]

    def values(self):
        return {pin: self.cleaned_data[f"pin_{pin}"] for pin, _signal in self.pins}
