"""A build's facts as plain data: what every check looks at. It knows no database."""

from collections.abc import Mapping
from dataclasses import dataclass, field

BLOCKS = ("processor_block", "graphics_block", "board_block", "memory_block")
PUMPS = ("pump", "pump_reservoir")
# What a block of this kind cools.
COOLED_BY = {
    "processor_block": "processor", "graphics_block": "graphics", "board_block": "board", "memory_block": "memory",
}  # fmt: skip


@dataclass(frozen=True)
class Known:
    """A fact's best value (a number in its kind's unit, or a text) and where it comes from."""

    value: float | str
    origin: str = "declared"


@dataclass(frozen=True)
class LineFacts:
    """A part in its role, with what is known of it.

    fed_from: role of the board, controller or supply that feeds it, feeds: role of what a cable leads to, both empty
    where that is not said; outlets: over how many headers or outputs its pieces are spread.
    """

    role: str
    kind: str
    part: str
    quantity: float = 1.0
    facts: Mapping[str, Known] = field(default_factory=dict, hash=False)
    client_supplied: bool = False
    withdrawn: bool = False
    successor: str = ""
    fed_from: str = ""
    feeds: str = ""
    outlets: int = 1

    def number(self, name):
        """A numeric fact in the unit its kind declares, or None when it is not known."""
        known = self.facts.get(name)
        return float(known.value) if known and not isinstance(known.value, str) else None

    def text(self, name):
        """A text fact without blanks around it, or None when it is not known."""
        known = self.facts.get(name)
        return (known.value.strip() or None) if known and isinstance(known.value, str) else None

    def many(self, name):
        """The several values of a text fact, or None when it is not known.

        >>> LineFacts("case", "case", "C", facts={"board_sizes": Known("ATX, Mini-ITX")}).many("board_sizes")
        ('ATX', 'Mini-ITX')
        """
        text = self.text(name)
        return None if text is None else tuple(one.strip() for one in text.split(",") if one.strip())

    def yes(self, name):
        """A yes/no fact, or None when it is not known."""
        number = self.number(name)
        return None if number is None else bool(number)

    def origin(self, name):
        known = self.facts.get(name)
        return known.origin if known else ""


@dataclass(frozen=True)
class StepFacts:
    """One component in a loop's order. cools, fans, screws: names of roles, empty where none is chosen.

    screw_through: what the screws pass before the radiator's wall: "fan", "flange", "panel" or "fan and panel".
    screw_extra_mm: washers and grille under the screws' heads. gasket_mm: gasket and grille inside the stack.
    ports_at: which way a radiator's ports look: "up", "down" or "level".
    """

    role: str
    speed: float = 0.75
    cools: str = ""
    fans: str = ""
    fan_count: int = 0
    layers: int = 1
    grille_loss: float = 1.5
    draws_from: str = "room"
    blows_to: str = "room"
    place: str = ""
    screws: str = ""
    screw_through: str = ""
    screw_extra_mm: float = 0.0
    gasket_mm: float = 0.0
    retapped: bool = False
    ports_at: str = ""


@dataclass(frozen=True)
class RunFacts:
    """A run of tube between two roles, with its bends, its angle fittings and the panels it goes through.

    from_port, to_port: "in", "out" or empty where the port is not said.
    """

    start: str
    end: str
    length_mm: float = 0.0
    bends: int = 0
    angles: int = 0
    bulkheads: int = 0
    from_port: str = ""
    to_port: str = ""


@dataclass(frozen=True)
class CableFacts:
    """A cable of the build's own. Connectors as `wire.CONNECTORS` names them; None where a number is not known.

    wires: (gauge, colour, metres) of its wires together; terminals, sleeve_m, shrink_m: what else it is made of.
    """

    name: str
    supply: str
    supply_connector: str
    device: str
    device_connector: str
    awg: int | None = None
    length_mm: float | None = None
    bend_mm: float | None = None
    sense_w: float | None = None
    signed: bool = False
    wires: tuple[tuple[int, str, float], ...] = ()
    terminals: int = 0
    sleeve_m: float = 0.0
    shrink_m: float = 0.0


@dataclass(frozen=True)
class LoopFacts:
    """A loop's order and what its tubes, the case and the place add (mm, W, m³/h, m above the sea).

    runs: those measured between neighbours in the order. air_ml: what stays in when it is closed, None where that is
    not said; breather: whether it breathes. highest, lowest: roles at its highest and lowest point; filled_at,
    drained_at: roles where it is filled and drained; all empty where that is not said.
    """

    name: str = "loop"
    steps: tuple[StepFacts, ...] = ()
    tube_length_mm: float = 2000.0
    fitting_loss: float = 12.0
    case_heat_w: float = 60.0
    case_air_flow_m3h: float = 0.0
    altitude_m: float = 0.0
    runs: tuple[RunFacts, ...] = ()
    air_ml: float | None = None
    breather: bool = False
    highest: str = ""
    lowest: str = ""
    filled_at: str = ""
    drained_at: str = ""


@dataclass(frozen=True)
class BuildFacts:
    """A whole build. room_c: warmest room; room_given: whether the brief says so or the workshop assumes it.

    prior: what the workshop's soak tests have taught, as `builds.checks.lessons` writes it; "" for nothing yet.
    """

    lines: tuple[LineFacts, ...] = ()
    loops: tuple[LoopFacts, ...] = ()
    room_c: float = 26.0
    room_given: bool = False
    noise_wish_db: float | None = None
    prior: str = ""
    cables: tuple[CableFacts, ...] = ()

    def of_kind(self, *kinds):
        """The lines of these kinds, in the spec's order."""
        return [line for line in self.lines if line.kind in kinds]

    def line(self, role):
        """The line in a role, or None."""
        return next((line for line in self.lines if line.role == role), None)

    def steps(self):
        """Every (loop, step, line) whose line is in the build."""
        return [(loop, step, line) for loop in self.loops for step in loop.steps if (line := self.line(step.role))]

    def cooled_by(self, block):
        """What a block's line cools: as its step says, else the only part of the fitting kind, else None."""
        said = {step.cools for _loop, step, line in self.steps() if line.role == block.role and step.cools}
        if said:
            return self.line(said.pop())
        candidates = self.of_kind(COOLED_BY.get(block.kind, ""))
        return candidates[0] if len(candidates) == 1 else None
