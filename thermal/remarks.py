"""The sentences of judging: each rule once, with its severity, what to say, what to do, and its source.

The texts are templates so that a caller can translate template and remedy before they are filled.
"""

from dataclasses import dataclass, field
from typing import NamedTuple

__all__ = ["CAUTION", "NOTE", "RULES", "STOP", "Remark"]

STOP, CAUTION, NOTE = "stop", "caution", "note"


class _Rule(NamedTuple):
    severity: str
    rule: str
    template: str
    remedy: str
    source: str = "common practice"


RULES = {
    "no point": _Rule(STOP, "operating point", "{field}: {what}", "Correct this fact.", "the loop itself"),
    "unsettled": _Rule(
        STOP,
        "energy balance",
        "The solution did not settle: it moves by {moved:.2g} K and loses {residual:.2g} of the heat.",
        "Do not use these figures; look for a fact that cannot be right.",
        "energy balance",
    ),
    "outside": _Rule(
        STOP,
        "coolant range",
        "The coolant would run from {coolest:.0f} to {warmest:.0f} °C; its figures hold from 5 to 90 °C.",
        "Give the loop more radiator, air or flow, or less heat.",
        "the property table",
    ),
    "good": _Rule(
        NOTE,
        "coolant over room",
        "The coolant runs {over:.1f} K over the room: good (to {good:g} K).",
        "Nothing to do.",
    ),
    "fair": _Rule(
        NOTE,
        "coolant over room",
        "The coolant runs {over:.1f} K over the room: fair (good to {good:g} K, fair to {fair:g} K).",
        "More radiator or air would make it good.",
    ),
    "warm": _Rule(
        CAUTION,
        "coolant over room",
        "The coolant runs {over:.1f} K over the room; fair is to {fair:g} K.",
        "Add radiator or air, or agree the temperature with the client.",
    ),
    "coolant caution": _Rule(
        CAUTION,
        "warmest coolant",
        "The coolant reaches {warmest:.1f} °C, above {warm:g} °C.",
        "Add radiator or air; check what tube and pump stand.",
    ),
    "coolant stop": _Rule(
        STOP,
        "warmest coolant",
        "The coolant may reach {worse:.1f} °C; at most {ceiling:g} °C ({why}).",
        "Add radiator or air, lower the heat, or change what sets the limit.",
    ),
    "part unknown": _Rule(
        CAUTION,
        "component limit",
        "{name} reaches {temperature:.1f} °C, but its highest temperature is not known.",
        "Enter the limit of the part.",
    ),
    "part caution": _Rule(
        CAUTION,
        "component limit",
        "{name} reaches {temperature:.1f} °C, within {margin:g} K of its limit of {limit:g} °C.",
        "Raise flow or air, or fit a better block.",
    ),
    "part stop": _Rule(
        STOP,
        "component limit",
        "{name} may reach {worse:.1f} °C; its limit is {limit:g} °C.",
        "Lower its heat, raise flow or air, or fit a better block.",
    ),
    "flow caution": _Rule(
        CAUTION,
        "flow",
        "The flow is {flow:.1f} L/min, below {low:g} L/min.",
        "Look for the largest drop, or fit a stronger pump.",
    ),
    "flow stop": _Rule(
        STOP,
        "flow",
        "The flow may be only {worse:.1f} L/min; at least {least:g} L/min.",
        "Fit a stronger or a second pump, or take drops out of the loop.",
    ),
    "brake": _Rule(
        CAUTION,
        "pumps in series",
        "{name} runs past its free flow and brakes the loop.",
        "Raise its speed, or take it out.",
        "the pump curves",
    ),
    "start": _Rule(
        CAUTION,
        "fan speed",
        "The fans of {name} are to run at {speed:.0%}; below {start:.0%} they may not start.",
        "Raise the speed.",
    ),
    "stall": _Rule(
        CAUTION,
        "stall",
        "The fans of {name} give {part:.0%} of their free flow; below {stall:.0%} they may stall and drone.",
        "Fit fans with more pressure, or a core with fewer fins.",
    ),
    "case to case": _Rule(
        CAUTION,
        "case air",
        "{name} draws from the case and blows to it: it warms the case and brings no air in.",
        "Turn its fans, or let it draw from the room.",
        "energy balance",
    ),
    "thumb within": _Rule(
        NOTE,
        "rule of thumb",
        "{name} gives {model:.0f} W per 10 K, within the {low:.0f} to {high:.0f} W of the rule of thumb.",
        "Nothing to do.",
    ),
    "thumb outside": _Rule(
        NOTE,
        "rule of thumb",
        "{name} gives {model:.0f} W per 10 K; the rule of thumb says {low:.0f} to {high:.0f} W.",
        "Check core depth, fins and fan figures.",
    ),
    "sound": _Rule(
        NOTE,
        "sound",
        "The sound level leaves out {names}: no level declared.",
        "Enter the level at rated speed.",
    ),
}


@dataclass(frozen=True)
class Remark:
    """One thing to say about a loop: a rule of RULES by its key, the numbers, the component if one."""

    key: str
    values: dict = field(default_factory=dict)
    about: str = ""

    @property
    def severity(self):
        return RULES[self.key].severity

    @property
    def rule(self):
        return RULES[self.key].rule

    @property
    def template(self):
        return RULES[self.key].template

    @property
    def sentence(self):
        return self.template.format(**self.values)

    @property
    def remedy(self):
        return RULES[self.key].remedy

    @property
    def source(self):
        return RULES[self.key].source
