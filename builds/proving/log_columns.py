"""What each column of a soak log holds: guessed from its heading, set by a person, and read as one unit. Pure."""

import re
from dataclasses import dataclass, field

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from parts.catalogue.headers import bare, bracketed

from .log_file import numbers
from .log_times import SECONDS, TimeDoubt, read_times
from .soak import COOLANT

# What a column may hold; parts come to it by their label, as "part:processor".
TARGETS = {
    "time": gettext_lazy("time, or date and time"), "date": gettext_lazy("date alone"),
    "room": gettext_lazy("room"), COOLANT: gettext_lazy("coolant"), "load": gettext_lazy("load, added up"),
    "fan": gettext_lazy("fan speed or duty"), "pump": gettext_lazy("pump speed or duty"),
    "flow": gettext_lazy("flow"),
}  # fmt: skip
ONCE = ("time", "date", "room", COOLANT, "flow")
PART = "part:"
# Words in headings, tried in this order: "pump speed" is the pump's, "water flow" is flow.
_WORDS = (
    ("time", "time timestamp elapsed seconds zeit uhrzeit temps heure hora tempo ora tijd tid czas"),
    ("date", "date datum fecha data dato"),
    ("pump", "pump pumpe pompe bomba pompa pomp"),
    ("fan", "fan fans lüfter luefter ventilateur ventilador ventola ventilator fläkt"),
    ("flow", "flow durchfluss débit debit caudal portata flöde"),
    ("load", "load power watt watts heat last leistung puissance potencia potenza effekt"),
    (COOLANT, "coolant water liquid fluid loop wasser kühlmittel flüssigkeit eau liquide agua acqua vatten"),
    ("room", "room ambient intake raum umgebung zuluft pièce ambiante ambiente sala stanza ruimte rum"),
)
_PART_WORDS = {"processor": "cpu processor prozessor processeur procesador", "graphics": "gpu graphics grafik vga"}
TEMPERATURES = {"degC": "°C", "degF": "°F", "K": "K"}
_FLOW = {"L/min": 1.0, "l/min": 1.0, "L/h": 1 / 60, "l/h": 1 / 60, "gpm": 3.785412, "gal/min": 3.785412}
_UNIT_OF = {"c": "degC", "°c": "degC", "degc": "degC", "celsius": "degC", "f": "degF", "°f": "degF", "degf": "degF",
            "fahrenheit": "degF", "k": "K", "kelvin": "K"}  # fmt: skip


@dataclass(frozen=True)
class Reading:
    """How the columns of a log are read. targets: one a column, "" left out. temperature, time: units of columns
    whose headings and cells name none. from_minute: rows before it are left out."""

    targets: tuple
    temperature: str = "degC"
    time: str = "s"
    from_minute: float = 0.0


@dataclass
class Columns:
    """A log as arrays of one length: times [s], temperatures [°C], loads [W]; notes say what was turned into what.

    lines: the file's line of each row. parts: {label: column}. speeds: {name: column} of fans and pumps, any unit.
    """

    times: np.ndarray
    lines: np.ndarray
    room: np.ndarray
    coolant: np.ndarray
    parts: dict
    loads: dict
    speeds: dict
    flow: np.ndarray | None = None
    notes: list = field(default_factory=list)
    start: float = 0.0  # s of the file's time that were left out
    paces: dict = field(default_factory=dict)  # {name in speeds: ("fan" or "pump", unit as written)}


def targets_for(parts):
    """{key: words} of all that a column may hold for a machine with these predicted part labels."""
    return {**TARGETS, **{PART + label: label for label in parts if label not in ("", COOLANT)}}


def guess(headings, parts):
    """A target for each heading, "" where none is known. parts: labels of the machine's predicted parts."""
    found = []
    for heading in headings:
        target = _guess(bare(heading), bracketed(heading), parts)
        found.append("" if target in ONCE and target in found else target)
    return found


def _guess(heading, unit, parts):
    words = set(heading.split())
    if unit.casefold() in ("w", "kw"):
        return "load"
    for target, known in _WORDS:
        if words & set(known.split()) or (target == "time" and heading in ("t", "s", "min")):
            return target
    for label in parts:
        if words & set(bare(label).split()) or any(words & set(_PART_WORDS[kind].split()) for kind in _PART_WORDS
                                                   if kind in bare(label)):  # fmt: skip
            return PART + label
    return ""


def missing(targets):
    """What no log can be judged without and nobody matched, in words."""
    return [str(TARGETS[name]) for name in ("time", "room", COOLANT) if name not in targets]


def gathered(log, reading):
    """The Columns of a LogFile as a Reading says. Raises TimeDoubt."""
    place = {name: reading.targets.index(name) for name in ONCE if name in reading.targets}
    dates = log.cells[place["date"]] if "date" in place else None
    unit = _time_unit(log, place["time"]) or reading.time
    times = read_times(log.cells[place["time"]], unit, dates, log.first_line)
    notes = []

    def of(index):
        return _temperature(log, index, reading.temperature, notes)

    found = Columns(times, np.arange(log.rows) + log.first_line, of(place["room"]), of(place[COOLANT]), {}, {}, {},
                    notes=notes)  # fmt: skip
    for index, target in enumerate(reading.targets):
        name = log.headings[index] or str(index + 1)
        if target.startswith(PART):
            found.parts[target.removeprefix(PART)] = of(index)
        elif target in ("fan", "pump"):
            found.speeds[name], in_cell = numbers(log.cells[index])
            found.paces[name] = (target, _pace_unit(name, in_cell))
        elif target == "load":
            values, unit = numbers(log.cells[index])
            kilo = (bracketed(log.headings[index]) or unit).casefold() == "kw"
            found.loads[name] = values * (1000.0 if kilo else 1.0)
    if "flow" in place:
        values, unit = numbers(log.cells[place["flow"]])
        found.flow = values * _FLOW.get(bracketed(log.headings[place["flow"]]) or unit, 1.0)
    return _since(found, reading.from_minute)


def _pace_unit(heading, in_cell):
    """ "%" or "rpm" of a column of speeds; "" where neither heading nor cells name one."""
    words = f"{bracketed(heading) or in_cell} {heading}".casefold()
    signs = (("%", "%"), ("percent", "%"), ("duty", "%"), ("rpm", "rpm"))
    return next((unit for sign, unit in signs if sign in words), "")


def _time_unit(log, index):
    heading = bracketed(log.headings[index]).casefold()
    return {"sec": "s", "seconds": "s", "minutes": "min", "hours": "h"}.get(heading, heading if heading in SECONDS else
                                                                            "")  # fmt: skip


def _temperature(log, index, usual, notes):
    """A column of temperatures in °C."""
    heading = log.headings[index]
    values, in_cell = numbers(log.cells[index])
    written = bracketed(heading) or (re.search(r"°\s*[CF]\b", heading) or [""])[0].replace(" ", "") or in_cell
    unit = _UNIT_OF.get(written.casefold(), usual)
    if unit != "degC":
        told = {"column": heading or str(index + 1), "unit": TEMPERATURES[unit]}
        notes.append(_("%(column)s was logged in %(unit)s and is read as °C.") % told)
    return (values - 32.0) / 1.8 if unit == "degF" else values - 273.15 if unit == "K" else values


def _since(columns, minute):
    """The same without the rows before a minute; times then count from there."""
    if not minute:
        return columns
    keep = columns.times >= minute * 60.0
    if keep.sum() < 2:
        raise TimeDoubt(_("Nothing is left of the log after minute %(n)g; type a smaller one.") % {"n": minute})
    for name in ("times", "lines", "room", "coolant", "flow"):
        if getattr(columns, name) is not None:
            setattr(columns, name, getattr(columns, name)[keep])
    for table in (columns.parts, columns.loads, columns.speeds):
        table.update({name: values[keep] for name, values in table.items()})
    columns.start = float(columns.times[0])
    columns.times = columns.times - columns.start
    return columns
