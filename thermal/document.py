"""A loop as a JSON document with units, in and out.

Quantities are strings with units ("104 m³/h") or plain numbers in SI (temperatures °C). What may stand in a
document is what the components declare as their facts. Faults name the field; all of them are found in one
reading.
"""

import dataclasses
import difflib
import json
from pathlib import Path

from .air import pressure_at
from .block import Block
from .component import Passive, Reservoir
from .coolant import Coolant
from .fan import Fans
from .faults import LoopFault
from .loop import Assumption, Loop
from .pump import Pump
from .radiator import TANK_ALLOWANCE, Radiator
from .tubing import Tubing
from .units import QuantityError, read_quantity

__all__ = ["KINDS", "load_loop", "read_loop", "write_loop", "write_result"]

KINDS = {"pump": Pump, "block": Block, "radiator": Radiator, "reservoir": Reservoir, "passive": Passive}
_LARGEST = 2_000_000  # bytes of a document


def load_loop(path):
    """The Loop in a JSON file. Raises LoopFault, also for a file that cannot be read or is not JSON.

    >>> load_loop("fixtures/loops/one-radiator.json").pumps[0].name
    'pump'
    """
    try:
        with Path(path).open("rb") as file:
            text = file.read(_LARGEST + 1)
    except OSError as error:
        raise LoopFault("file", f"cannot be read: {error.strerror or error}.") from None
    if len(text) > _LARGEST:
        raise LoopFault("file", "is too large for a loop; at most 2 MB.")
    try:
        document = json.loads(text.decode("utf-8-sig"), object_pairs_hook=_once)
    except UnicodeDecodeError:
        raise LoopFault("file", "is not text in UTF-8.") from None
    except json.JSONDecodeError as error:
        raise LoopFault("file", f"is not JSON at line {error.lineno}, column {error.colno}: {error.msg}.") from None
    except RecursionError:
        raise LoopFault("file", "is nested too deeply for a loop.") from None
    return read_loop(document)


def read_loop(document):
    """The Loop of a document (a dict). Raises LoopFault with every fault found in it.

    >>> read_loop({"room_temperature": "22 °C", "components": "none"})
    Traceback (most recent call last):
    thermal.faults.LoopFault: components: must be a list of components in the order the coolant passes them.
    """
    reader = _Reader()
    if not isinstance(document, dict):
        raise LoopFault("document", "must be an object with room_temperature and components.")
    facts = reader.facts(Loop, document, "", beside=("coolant", "tubing", "components", "altitude"))
    facts |= reader.altitude(document)
    for name, kind in (("coolant", Coolant), ("tubing", Tubing)):
        facts[name] = reader.part(kind, document.get(name, {}), name)
    parts = document.get("components")
    if not isinstance(parts, list):
        reader.fault("components", "must be a list of components in the order the coolant passes them.")
        parts = []
    facts["components"] = [reader.component(part, place) for place, part in enumerate(parts)]
    if reader.faults:
        raise LoopFault.of(reader.faults)
    return Loop(**facts, assumed=tuple(reader.assumed))


def write_loop(loop):
    """The document (a dict) that reads back as this loop; what is unknown is left out.

    >>> loop = load_loop("fixtures/loops/one-radiator.json")
    >>> read_loop(write_loop(loop)).components == loop.components
    True
    """
    document = _written(loop)
    document["coolant"], document["tubing"] = _written(loop.coolant), _written(loop.tubing)
    kinds = {kind: name for name, kind in KINDS.items()}
    document["components"] = []
    for part in loop.components:
        written = {"kind": kinds[type(part)], "name": part.name, **_written(part)}
        if isinstance(part, Radiator):
            written["fans"] = _written(part.fans)
            if part.fans.curve is not None:
                written["fans"]["curve"] = [[f"{flow!r} m3/s", f"{drop!r} Pa"] for flow, drop in part.fans.curve]
        document["components"].append(written)
    return document


def write_result(result, spread=None):
    """The result document (a dict of plain numbers in SI, temperatures °C) of a Result of shape ().

    spread: a `spread.Spread` of the same loop; its ranges then stand under "spread", its prior under "prior".
    """
    ranges = {} if spread is None else {"spread": spread.ranges, "prior": spread.prior.document()}
    return {
        "flow": float(result.flow),
        "coolant": {
            "mean": float(result.mean),
            "min": float(result.coolest),
            "max": float(result.warmest),
        },
        "nodes": [float(temperature) for temperature in result.nodes.values()],
        "case_air": float(result.case_air),
        "components": [
            {"name": name, "temperature": float(temperature)} for name, temperature in result.components.items()
        ],
        "radiators": [
            {
                "name": name,
                "heat": float(radiator.heat),
                "air_flow": float(radiator.air_flow),
                "air_pressure_drop": float(radiator.air_pressure_drop),
                "ua": float(radiator.ua),
                "conductance": float(radiator.conductance),
            }
            for name, radiator in result.radiators.items()
        ],
        "sound_level": None if result.sound_level is None else float(result.sound_level),
        "energy_residual": float(result.energy_residual),
        "converged": bool(result.converged),
        **ranges,
    }


class _Reader:
    """Reads one document and keeps its faults and assumptions."""

    def __init__(self):
        self.faults, self.assumed = [], []

    def fault(self, field, what):
        self.faults.append(LoopFault(field, what))

    def altitude(self, document):
        """{"air_pressure": Pa} where a document gives the place's altitude instead."""
        if document.get("altitude") is None:
            return {}
        if document.get("air_pressure") is not None:
            self.fault("altitude", "stands beside air_pressure; give one of the two.")
        metres = self._value(document["altitude"], {"unit": "m", "low": -430.0, "high": 5000.0}, "altitude")
        return {} if metres is None else {"air_pressure": pressure_at(metres)}

    def component(self, document, place):
        """One component, or None when it has a fault."""
        path = f"components[{place}]"
        if not isinstance(document, dict):
            self.fault(path, "must be an object with kind and name.")
            return None
        name, kind = document.get("name"), KINDS.get(str(document.get("kind")))
        if not isinstance(name, str) or not name.strip() or len(name) > 100:
            self.fault(f"{path}.name", "is missing; give the component a name of its own, up to 100 letters.")
            return None
        if kind is None:
            self.fault(f"{name}.kind", f"“{document.get('kind')}” is not one of {', '.join(KINDS)}.")
            return None
        return self.part(kind, document, name, name=name, beside=("kind", "name", "fans"))

    def part(self, kind, document, path, beside=(), **given):
        """A dataclass of facts from its document, or None when it has a fault."""
        if not isinstance(document, dict):
            self.fault(path, "must be an object with its facts.")
            return None
        before = len(self.faults)
        facts = given | self.facts(kind, document, f"{path}.", beside)
        if kind is Radiator and isinstance(document.get("fans"), dict):
            facts["fans"] = self.part(Fans, self._curve(document["fans"], path), f"{path}.fans", ("curve",))
        elif kind is Fans and "curve" in document:
            facts["curve"] = document["curve"]
        if len(self.faults) > before:
            return None
        try:
            part = kind(**facts)
        except LoopFault as fault:
            where = fault.field if fault.field.startswith(path) else f"{path.removesuffix('.fans')}.{fault.field}"
            self.fault(where, fault.what)
            return None
        self._assume(part, document, path)
        return part

    def facts(self, kind, document, prefix, beside=()):
        """{fact: value in SI} of what a document gives for a dataclass."""
        fields = {field.name: field for field in dataclasses.fields(kind) if field.metadata}
        for key in document:
            if key not in fields and key not in beside:
                near = difflib.get_close_matches(str(key), [*fields, *beside], 1)
                hint = f"did you mean {near[0]}?" if near else f"known are {', '.join((*fields, *beside))}."
                self.fault(f"{prefix}{key}", f"is not known here; {hint}")
        facts = {}
        for name, field in fields.items():
            if name in document and document[name] is not None:
                value = self._value(document[name], field.metadata, f"{prefix}{name}")
                if value is not None:
                    facts[name] = value
            elif field.default is dataclasses.MISSING:
                self.fault(f"{prefix}{name}", f"is missing; give the {field.metadata['meaning']}.")
        return facts

    def _value(self, typed, about, path):
        if about["unit"] == "text":
            text = str(typed).strip().lower().replace("_", " ").replace("-", " ")
            if text in about["low"]:
                return text
            self.fault(path, f"“{str(typed)[:60]}” is not one of {', '.join(about['low'])}.")
            return None
        whole = about["unit"] == "int"
        try:
            value = read_quantity(
                typed, "1" if whole else about["unit"], lower=about["low"], upper=about["high"], name=path
            )
        except QuantityError as error:
            self.fault(path, error.what)
            return None
        if whole and value != int(value):
            self.fault(path, f"“{typed}” is not a whole number.")
            return None
        return int(value) if whole else value

    def _curve(self, fans, path):
        """The fans' document with its curve as pairs of floats."""
        points = fans.get("curve")
        if points is None:
            return fans
        pairs = []
        for place, point in enumerate(points if isinstance(points, list) else [points]):
            where = f"{path}.fans.curve[{place}]"
            if not isinstance(point, list) or len(point) != 2:
                self.fault(where, 'must be a pair of flow and pressure, as ["60 m³/h", "12 Pa"].')
                continue
            bounds = ({"unit": "m3/s", "low": 0.0, "high": 2.0}, {"unit": "Pa", "low": 0.0, "high": 5000.0})
            pairs.append([self._value(*one, where) for one in zip(point, bounds, strict=True)])
        return {**fans, "curve": pairs}

    def _assume(self, part, document, path):
        """Note what the document left to a default that is an assumption."""
        for field in dataclasses.fields(part):
            about = field.metadata
            default = field.default not in (None, dataclasses.MISSING)
            if about and default and not about["setting"] and document.get(field.name) is None:
                value = getattr(part, field.name)
                self.assumed.append(
                    Assumption(path, field.name, value, about["unit"], about["meaning"], about["check"])
                )
        if isinstance(part, Radiator) and part.core_depth is None:
            why = f"thickness less {TANK_ALLOWANCE * 1000:.0f} mm"
            self.assumed.append(Assumption(path, "core_depth", part.depth, "m", why, "calliper, without the tanks"))


def _written(part):
    """{fact: "value unit"} of a dataclass of facts, what is unknown left out."""
    written = {}
    for field in dataclasses.fields(part):
        value, unit = getattr(part, field.name), field.metadata.get("unit")
        if unit is None or value is None:
            continue
        written[field.name] = value if unit in ("text", "int", "1") else f"{float(value)!r} {unit}"
    return written


def _once(pairs):
    """A JSON object whose keys stand there once."""
    document = dict(pairs)
    if len(document) < len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        raise LoopFault(str(twice), "stands there twice in one object.")
    return document
