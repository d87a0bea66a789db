"""Wire: its diameter and resistance by gauge, what it may carry; connectors with their pins and limits."""

from dataclasses import dataclass
from math import pi

RESISTIVITY_20 = 1.7241e-8  # Ω m, copper of 100 % IACS at 20 °C
WARMER_PER_K = 0.00393
WARM_C = 50.0
CONTACT_OHM = 0.005  # one crimped contact of a power connector in use, from memory
SUPPLY_V = 12.0
# Amperes of a single wire in free air (Handbook of Electronic Tables and Formulas); in a bundle half of it is common
# practice.
FREE_AIR_A = {16: 22.0, 18: 16.0, 20: 11.0, 22: 7.0, 24: 3.5}
BUNDLED = 0.5


def diameter_mm(awg):
    """Diameter of a solid wire [mm]: d = 0.127 · 92^((36 − n)/39) (ASTM B258).

    >>> round(diameter_mm(18), 4)
    1.0237
    """
    return 0.127 * 92 ** ((36 - awg) / 39)


def ohm_per_m(awg, celsius=20.0):
    """Resistance of copper wire [Ω/m] at a temperature.

    >>> round(1000 * ohm_per_m(18), 2)
    20.95
    """
    area = pi / 4 * (diameter_mm(awg) / 1000) ** 2
    return RESISTIVITY_20 / area * (1 + WARMER_PER_K * (celsius - 20.0))


def drop_v(awg, length_mm, ampere, celsius=WARM_C, contacts=4):
    """Voltage lost in one wire there and back with its contacts [V].

    >>> round(drop_v(18, 600, 150 / 12 / 3, celsius=20.0, contacts=0), 4)
    0.1047
    """
    return ampere * (2 * length_mm / 1000 * ohm_per_m(awg, celsius) + contacts * CONTACT_OHM)


def carries_a(awg):
    """Amperes a wire in a bundle may carry; None for a gauge the table does not have.

    >>> carries_a(18), carries_a(13)
    (8.0, None)
    """
    return BUNDLED * FREE_AIR_A[awg] if awg in FREE_AIR_A else None


@dataclass(frozen=True)
class Connector:
    """A power connector at a device. family: plugs of one family may meet; pins: signal of each pin in order.

    Pins: ATX12V power supply design guide and the card's electromechanical specification (the latter from memory).
    limit_w: what it may feed; pin_a: what a pin may carry; thickest: the gauge number no wire may exceed.
    """

    key: str
    family: str
    pins: tuple[str, ...]
    limit_w: float | None = None
    pin_a: float | None = None
    thickest: int | None = None

    @property
    def feeding(self):
        """How many pins carry 12 V."""
        return self.pins.count("+12 V")


# What a connector's text may also come to: a 2×4 plug that may be one of two, or one that carries no device's power.
EITHER, SIGNAL = "either", "signal"
_SIGNALS = ("fan", "data", "usb", "light", "front panel", "speed")
_SPELT = {
    "board24": "board 24", "24": "board 24", "2x12": "board 24", "2x10+2x2": "board 24",
    "processor2x2": "processor 2×2", "2x2": "processor 2×2", "processor4": "processor 2×2",
    "processor2x4": "processor 2×4", "processor8": "processor 2×4", "eps": "processor 2×4", "eps8": "processor 2×4",
    "graphics2x3": "graphics 2×3", "2x3": "graphics 2×3", "6": "graphics 2×3", "graphics6": "graphics 2×3",
    "graphics2x4": "graphics 2×4", "graphics8": "graphics 2×4",
    "16": "16-pin", "graphics16": "16-pin", "12v2x6": "16-pin", "drive": "drive", "sata": "drive",
    "satapower": "drive", "disk4": "disk 4", "disk": "disk 4", "2x4": EITHER, "8": EITHER,
}  # fmt: skip


def connector_named(text):
    """The key of a connector as people write it; EITHER, SIGNAL, or "" for one that is not known.

    >>> [connector_named(one) for one in ("Graphics 2x4", "16 pins", "2×12", "8-pin", "fan 4-pin", "odd")]
    ['graphics 2×4', '16-pin', 'board 24', 'either', 'signal', '']
    """
    said = text.casefold().strip()
    if said.startswith(_SIGNALS):
        return SIGNAL
    bare = said.replace("×", "x").replace("pins", "").replace("pin", "").replace("-", "").replace(" ", "")
    return _SPELT.get(bare, "")


_G, _12, _5, _3 = "ground", "+12 V", "+5 V", "+3.3 V"
CONNECTORS = {
    one.key: one
    for one in (
        Connector("board 24", "board", (_3, _3, _G, _5, _G, _5, _G, "power good", "+5 V standby", _12, _12, _3,
                                        _3, "−12 V", _G, "power on", _G, _G, _G, "none", _5, _5, _5, _G)),
        Connector("processor 2×2", "processor", (_G, _G, _12, _12), 150.0, 8.0),
        Connector("processor 2×4", "processor", (_G, _G, _G, _G, _12, _12, _12, _12), 300.0, 8.0),
        Connector("graphics 2×3", "graphics", (_12, _12, _12, _G, "sense", _G), 75.0, 8.0),
        Connector("graphics 2×4", "graphics", (_12, _12, _12, "sense", _G, "sense", _G, _G), 150.0, 8.0),
        Connector("16-pin", "graphics 16", (_12,) * 6 + (_G,) * 6 + ("sense",) * 4, 600.0, 9.2, 16),
        Connector("drive", "drive", (_3, _G, _5, _G, _12), 54.0, 4.5),
        Connector("disk 4", "drive", (_12, _G, _G, _5), 132.0, 11.0),
    )
}  # fmt: skip
