"""The loop page's dials: room, heats, speeds, and the coolant that is still good. They store nothing."""

from dataclasses import dataclass

from django import forms
from django.utils.translation import gettext as _

from builds.checks.facts import BLOCKS, PUMPS

WARM_COOLANT_C = 45.0  # the limit a quiet speed keeps unless another is dialled; common practice
MOST_HEAT_W = 3000.0  # what a block may carry in the model; no dial for a fact beyond it


@dataclass(frozen=True)
class Dial:
    """One dial. name: of its field; about: room, fan, pump, heat, clock, volts or limit; role: what it turns.

    low, high, step and value in `unit`; value: as the spec has it.
    """

    name: str
    about: str
    label: str
    unit: str
    low: float
    high: float
    step: float
    value: float
    role: str = ""


def dials_of(build):
    """The Dials of a build with a loop."""
    steps = [(step, line) for _loop, step, line in build.steps()]
    fans = [step for step, line in steps if line.kind == "radiator"]
    pumps = [step for step, line in steps if line.kind in PUMPS]
    found = [Dial("room", "room", _("room"), "°C", -10, 50, 0.5, build.room_c)]
    found += _speeds(fans, "fan", _("fans"), _("fans of %(role)s"), 20, 150)
    found += _speeds(pumps, "pump", _("pump"), "%(role)s", 20, 120)
    return [*found, *_heats(build), Dial("limit", "limit", _("coolant good to"), "°C", 25, 60, 1, WARM_COOLANT_C)]


def _speeds(steps, about, alone, several, low, high):
    return [
        Dial(f"{about}{place}", about, alone if len(steps) == 1 else several % {"role": step.role}, "%", low, high, 1,
             round(100 * step.speed, 1), step.role)
        for place, step in enumerate(steps, 1)
    ]  # fmt: skip


def _heats(build):
    blocks = [line for _loop, _step, line in build.steps() if line.kind in BLOCKS]
    cooled = list(dict.fromkeys(filter(None, (build.cooled_by(block) for block in blocks))))
    known = [(part, heat) for part in cooled if (heat := part.number("heat")) is not None and 0 <= heat <= MOST_HEAT_W]
    for place, (part, heat) in enumerate(known, 1):
        label, high = _("heat of %(role)s") % {"role": part.role}, max(100.0, 50.0 * round(heat / 25.0))
        yield Dial(f"heat{place}", "heat", label, "W", 0, high, 1, heat, part.role)
    role = next((part.role for part, heat in known if part.kind == "processor" and heat), None)
    if role:
        yield Dial("clock", "clock", _("clock of %(role)s") % {"role": role}, "%", 80, 130, 1, 100, role)
        yield Dial("volts", "volts", _("voltage of %(role)s") % {"role": role}, "%", 80, 125, 1, 100, role)


class DialForm(forms.Form):
    """The dials as they are turned; one left empty stands as in the spec."""

    together = forms.BooleanField(required=False)

    def __init__(self, data, dials):
        super().__init__(data)
        self.dials = dials
        for dial in dials:
            self.fields[dial.name] = forms.FloatField(
                label=dial.label, min_value=dial.low, max_value=dial.high, required=False
            )
        if self.is_bound:
            self.full_clean()

    def standing(self):
        """{dial name: value} of the dials as they stand; one beyond its stop stands as in the spec."""
        said = self.cleaned_data if self.is_bound else {}
        stands = {dial.name: dial.value if said.get(dial.name) is None else said[dial.name] for dial in self.dials}
        fans = [dial.name for dial in self.dials if dial.about == "fan"]
        return stands | (dict.fromkeys(fans, stands[fans[0]]) if said.get("together") and fans else {})

    def turned(self):
        """(keyword arguments for `checks.loop_model.at` of the dials that were turned, heat by overclock in words)."""
        stands = self.standing()
        moved = {d.name: stands[d.name] for d in self.dials if abs(stands[d.name] - d.value) > 1e-9}
        by_role = {about: {d.role: moved[d.name] for d in self.dials if d.about == about and d.name in moved}
                   for about in ("fan", "pump", "heat")}  # fmt: skip
        speeds = {role: value / 100 for role, value in (by_role["fan"] | by_role["pump"]).items()}
        heats, said = _overclocked(self.dials, stands, by_role["heat"])
        turned = {"speeds": speeds, "heats": heats, "room": moved.get("room")}
        return {name: value for name, value in turned.items() if value not in (None, {})}, said

    @property
    def has_several_fans(self):
        return sum(dial.about == "fan" for dial in self.dials) > 1

    @property
    def shown(self):
        """[(Dial, where it stands)], the value written as the slider takes it."""
        stands = self.standing()
        return [(dial, f"{stands[dial.name]:g}") for dial in self.dials]

    @property
    def limit(self):
        """Warmest coolant that is still good [°C]."""
        return self.standing()["limit"]


def _overclocked(dials, stands, heats):
    """(heats with the estimate of an overclocked processor, that estimate in words)."""
    from thermal.block import overclocked

    clock, volts = stands.get("clock", 100) / 100, stands.get("volts", 100) / 100
    if clock == volts == 1:
        return heats, ""
    role = next(dial.role for dial in dials if dial.about == "clock")
    base = heats.get(role, next(d.value for d in dials if d.about == "heat" and d.role == role))
    heat = overclocked(base, clock, volts)
    said = _(
        "Estimate: %(role)s gives off %(heat).0f W at %(clock).0f %% of its clock and %(volts).0f %% of its voltage, "
        "instead of %(base).0f W. Heat goes with clock and with voltage squared; leakage is left out."
    )
    told = {"role": role, "heat": heat, "clock": 100 * clock, "volts": 100 * volts, "base": base}
    return heats | {role: heat}, said % told
