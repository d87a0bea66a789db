"""The demo's cable book: pin-outs that the helper measured and signed, cables routed by string, wires rung through."""

from builds.specs.cables import Cable, PinOut
from builds.specs.models import SpecVersion

# Invented maps {device pin: supply pin}; 2 and 5 carry two wires each.
GRAPHICS = {1: "6", 2: "5", 3: "5", 4: "1", 5: "1", 6: "2", 7: "2", 8: "3"}
PROCESSOR = {1: "1", 2: "2", 3: "3", 4: "4", 5: "5", 6: "6", 7: "7", 8: "8"}


def fill_cable_book(job, by):
    """Two cables of the newest spec: the processor's rung through, the graphics board's half way."""
    spec = SpecVersion.objects.current_for(job)
    supply = spec.lines.get(role__kind="power_supply")
    for plug, pins, kind, name, routed_mm, rung in (
        ("processor 2×4", PROCESSOR, "board", "processor cable", 620.0, 8),
        ("graphics 2×4", GRAPHICS, "graphics", "graphics cable", 540.0, 4),
    ):
        ends = {"supply_connector": plug, "device_connector": plug}
        pin_out = PinOut(part=supply.part, **ends)
        pin_out.fill(pins, by)
        pin_out.sign(by)
        device = spec.lines.filter(role__kind=kind).select_related("role").first().role
        cable = Cable(spec=spec).alter(by, name=name, supply=supply.role, device=device, awg=18, colour="slate",
                                       routed_mm=routed_mm, **ends)  # fmt: skip
        wires = cable.wires(pin_out)
        cable.ring_through({wire.pin for wire in wires[:rung]}, pin_out, by)
