"""What every test before hand-over has in common, as plain data: what it asks, its limits, what it concludes."""

from dataclasses import asdict, dataclass, field, replace

from django.utils.translation import gettext as _

from thermal.units import format_quantity

PASSED, FAILED, OPEN = "passed", "failed", "open"
YES_NO = "yes"  # the unit of a reading that is ticked or not
CHOICE = "choice"  # the unit of a reading chosen from a list


@dataclass(frozen=True)
class Measure:
    """A value a test asks for, declared once for the form, the record and the sheet.

    name: its key. label: as a person says it. unit: a thermal.units unit, or YES_NO, or CHOICE with choices as
    (number, text). lower, upper: bounds in `unit`. initial: what the form starts with. group: what stands over it and
    its neighbours.
    """

    name: str
    label: str
    unit: str
    lower: float | None = None
    upper: float | None = None
    required: bool = True
    help: str = ""
    choices: tuple = ()
    initial: float | None = None
    group: str = ""

    def written(self, value):
        """A stored value as people read it."""
        if value is None:
            return "–"
        if self.unit == YES_NO:
            return _("yes") if value else _("no")
        if self.unit == "count":
            return str(int(value))
        if self.unit == CHOICE:
            return str(dict(self.choices).get(value, value))
        return format_quantity(value, self.unit, 6)


@dataclass(frozen=True)
class Limits:
    """The workshop's own limits of all tests; the defaults are common practice unless a line says otherwise."""

    air_pressure_bar: float = 0.5
    air_pressure_unknown_bar: float = 0.3  # acrylic or glass in the loop and nobody knows its limit
    air_leak_mbar_l_s: float = 2e-3
    air_minutes: float = 60.0
    air_coarse_minutes: float = 15.0
    air_settle_minutes: float = 5.0
    thermometer_k: float = 0.5  # how well two readings of the thermometer compare
    gauge_step_mbar: float = 1.0
    wet_hours: float = 24.0
    fill_tolerance_percent: float = 20.0
    fill_top_up_ml: float = 50.0
    fill_hours: float = 24.0
    soak_minutes: float = 30.0
    soak_time_constants: float = 5.0
    soak_drift_k: float = 0.3
    soak_room_drift_k_h: float = 3.0

    def as_dict(self):
        return asdict(self)


@dataclass(frozen=True)
class Predicted:
    """A temperature the model foretells, as a difference over the room, K, with its low and high end."""

    name: str
    label: str
    over_room: float
    low: float
    high: float
    limit_c: float | None = None


@dataclass(frozen=True)
class Flow:
    """The flow the model foretells in the first loop, L/min, with its low and high end."""

    point: float
    low: float
    high: float


@dataclass(frozen=True)
class Machine:
    """What the tests need to know of the machine on the bench.

    volume_l: coolant the loop holds by its parts' facts, L; without_volume: names of loop parts whose volume is not
    known. pressure_bar: lowest pressure limit of any part, gauge, and the part it comes from; brittle_unknown: names
    of parts of acrylic or glass without a limit. predicted, heat_w, time_constant_min: from the thermal model, if
    there is one; basis says how the prediction was made, prior what its range rests on. room_warmest_c: the room the
    machine is promised to stand in. places: components at whose inlet the coolant's sensor may sit. flow: foretold in
    the first loop. fan_rpm: rated speed of its radiators' fans, where all share one.
    """

    volume_l: float = 0.0
    without_volume: tuple[str, ...] = ()
    pressure_bar: float | None = None
    pressure_part: str = ""
    brittle_unknown: tuple[str, ...] = ()
    predicted: tuple[Predicted, ...] = ()
    room_warmest_c: float | None = None
    heat_w: float | None = None
    time_constant_min: float | None = None
    basis: str = ""
    prior: dict = field(default_factory=dict)
    places: tuple[str, ...] = ()
    flow: Flow | None = None
    fan_rpm: float | None = None


@dataclass(frozen=True)
class Judgement:
    """What the readings say: passed, failed, or open (cannot be judged), why, and the numbers it rests on.

    numbers: (label, value, unit). findings: what is odd without failing the test; whoever confirms says what was
    looked at. causes: where to look first.
    """

    outcome: str
    reasons: tuple[str, ...]
    numbers: tuple[tuple[str, float, str], ...] = ()
    findings: tuple[str, ...] = ()
    causes: tuple[str, ...] = ()

    def with_more(self, numbers):
        """The same with more numbers than the method itself looks at."""
        return replace(self, numbers=self.numbers + tuple(numbers))

    @property
    def written(self):
        """The numbers as people read them: (label, text)."""
        return tuple(
            (str(label), str(int(value)) if unit == "count" else format_quantity(value, unit))
            for label, value, unit in self.numbers
        )
