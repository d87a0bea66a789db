"""What a cable is crimped of: its wires with their lengths, and what that adds up to. Plain values."""

from collections import Counter
from dataclasses import dataclass

from django.utils.translation import gettext_lazy as _l

from builds.checks.wire import CONNECTORS

ALLOWANCE_MM = 35.0  # strip, crimp and a little slack; common practice
SHRINK_MM = 15.0  # a piece at each end of a sleeved wire; common practice
# Colours the ATX12V design guide recommends, for wires that get no colour of their own.
COLOURS = {
    "ground": _l("black"), "+12 V": _l("yellow"), "+5 V": _l("red"), "+3.3 V": _l("orange"), "−12 V": _l("blue"),
    "power on": _l("green"), "power good": _l("grey"), "+5 V standby": _l("purple"), "sense": _l("black"),
}  # fmt: skip
WORDS = {
    "ground": _l("ground"), "sense": _l("sense"), "power on": _l("power on"), "power good": _l("power good"),
    "+5 V standby": _l("+5 V standby"),
}  # fmt: skip


def signal_said(signal):
    """A signal in the reader's language; voltages are the same in every one.

    >>> str(signal_said("ground")), signal_said("+12 V")
    ('ground', '+12 V')
    """
    return WORDS.get(signal, signal)


@dataclass(frozen=True)
class Wire:
    """One wire. pin: at the device; supply_pin: at the supply; doubled: shares the supply's terminal with another."""

    pin: int
    supply_pin: str
    signal: str
    length_mm: float
    awg: int
    colour: str
    doubled: bool = False

    @property
    def said(self):
        return signal_said(self.signal)


@dataclass(frozen=True)
class Totals:
    """wire_m: {(gauge, colour): metres}. terminals: crimped on both ends, doubled wires sharing one at the supply."""

    wire_m: dict
    terminals: int = 0
    sleeve_m: float = 0.0
    shrink_m: float = 0.0
    housings: int = 0


def wired(connector):
    """[(pin, signal)] of a connector's pins that take a wire."""
    return [(n, signal) for n, signal in enumerate(CONNECTORS[connector].pins, 1) if signal != "none"]


def faults(connector, pins):
    """{pin: why it cannot be} of a pin-out map {device pin: supply pin}; empty when it can be signed.

    A supply pin that is said to carry two different signals is a short waiting to be crimped.
    """
    carried, found = {}, {}
    for pin, signal in wired(connector):
        there = pins.get(pin, "")
        if not there:
            found[pin] = "empty"
        elif carried.setdefault(there, signal) != signal and "sense" not in (signal, carried[there]):
            found[pin] = carried[there]
    return found


def cut_list(connector, pins, awg, routed_mm, colour=""):
    """The Wires of a cable, in the order of the device's pins.

    >>> [(w.pin, w.supply_pin, w.length_mm, w.doubled) for w in cut_list("disk 4", {1: "4", 2: "1", 3: "1"}, 18, 500)]
    [(1, '4', 535.0, False), (2, '1', 535.0, True), (3, '1', 535.0, True)]
    """
    used = Counter(pins.values())
    return [
        Wire(pin, pins[pin], signal, routed_mm + ALLOWANCE_MM, awg, colour or str(COLOURS[signal]), used[pins[pin]] > 1)
        for pin, signal in wired(connector)
        if pins.get(pin)
    ]


def counted(connector, awg, routed_mm, colour=""):
    """The wires of a cable whose map is not known yet: enough to buy by, and never to cut by."""
    own = {pin: str(pin) for pin, _signal in wired(connector)}
    return cut_list(connector, own, awg, routed_mm, colour)


def totals(lists):
    """The Totals of several cables' cut lists."""
    metres = Counter()
    for wire in (wire for wires in lists for wire in wires):
        metres[wire.awg, wire.colour] += wire.length_mm / 1000
    count = sum(len(wires) for wires in lists)
    at_supply = sum(len({wire.supply_pin for wire in wires}) for wires in lists)
    sleeve = sum(wire.length_mm - ALLOWANCE_MM for wires in lists for wire in wires) / 1000
    return Totals(
        {key: round(value, 3) for key, value in sorted(metres.items())}, count + at_supply, round(sleeve, 3),
        round(2 * count * SHRINK_MM / 1000, 3), 2 * sum(bool(wires) for wires in lists),
    )  # fmt: skip
