"""The loop, and its operating point: flow, temperatures, heats, by one solve on arrays of any shape."""

from dataclasses import dataclass, field, replace
from typing import NamedTuple

import numpy as np

from .balance import Balance
from .block import Block
from .component import DROP_EXPONENT
from .coolant import COLDEST, HOTTEST, Coolant
from .facts import check_facts, fact
from .faults import LoopFault
from .pump import Pump
from .radiator import Radiator
from .result import RadiatorResult, Result
from .sound import add_levels, level_at_speed, level_of_count
from .tubing import Tubing

__all__ = ["Assumption", "Factors", "Loop", "solve"]

_PASSES = 60
_STILL = 1e-6  # K
_RESIDUAL = 1e-6  # of the heat


class Assumption(NamedTuple):
    """A fact nobody declared or measured: of which part, its value in SI, and how to measure it instead."""

    part: str
    fact: str
    value: float
    unit: str
    meaning: str
    check: str


@dataclass(frozen=True, kw_only=True)
class Loop:
    """A closed loop of components in the order the coolant passes them, and the room it stands in."""

    components: tuple
    room_temperature: float = fact("degC", -20.0, 60.0, meaning="air of the room", check="a shaded thermometer")
    air_pressure: float = fact(
        "Pa", 5e4, 1.2e5, default=101325.0, setting=True, meaning="barometer, as it stands there"
    )
    coolant: Coolant = field(default_factory=Coolant)
    tubing: Tubing = field(default_factory=Tubing)
    case_heat: float = fact(
        "W", 0.0, 5000.0, default=0.0, setting=True, meaning="heat of uncooled parts to the case air"
    )
    case_air_flow: float = fact(
        "m3/s", 0.0, 5.0, default=0.0, setting=True, meaning="room air through the case by other fans"
    )

    assumed: tuple = ()  # of Assumption

    def __post_init__(self):
        object.__setattr__(self, "components", tuple(self.components))
        check_facts(self)
        faults = [LoopFault(*wrong) for wrong in (*self._wrong_parts(), *self._wrong_air())]
        if faults:
            raise LoopFault.of(faults)

    def _wrong_parts(self):
        """(field, sentence) of what is missing from the loop or there twice."""
        names = [part.name for part in self.components]
        for name in sorted({name for name in names if names.count(name) > 1}):
            yield "components", f"“{name}” is there {names.count(name)} times; name each part once."
        if not self.pumps:
            yield "components", "there is no pump; add one."
        elif not np.all(sum(np.asarray(pump.speed) for pump in self.pumps) > 0.0):
            yield f"{self.pumps[0].name}.speed", "the flow cannot start: no pump runs; set a speed above 0."
        if not self.radiators:
            yield "components", "there is no radiator; nothing carries the heat away; add one."

    def _wrong_air(self):
        """(field, sentence) of air that does not move where it must."""
        radiators = self.radiators
        running = [np.asarray(r.fan_speed) * (r.columns - r.stopped) for r in radiators]
        if radiators and not np.all(sum(running) > 0.0):
            yield f"{radiators[0].name}.fan_speed", "no fan runs; nothing carries the heat away; let one run."
        crossing = any(r.draws_from != r.blows_to and np.all(r.fan_speed) for r in radiators)
        if crossing or np.all(self.case_air_flow > 0.0):
            return
        if np.any(self.case_heat > 0.0):
            yield "case_heat", "no air passes the case to carry it away; give case_air_flow."
        if any(r.draws_from == r.blows_to == "case" for r in radiators):
            yield "case_air_flow", "radiators that draw from the case and blow to it need air through it."

    @property
    def pumps(self):
        return tuple(part for part in self.components if isinstance(part, Pump))

    @property
    def blocks(self):
        return tuple(part for part in self.components if isinstance(part, Block))

    @property
    def radiators(self):
        return tuple(part for part in self.components if isinstance(part, Radiator))

    def with_parts(self, /, **changes):
        """This loop with facts of named components changed: with_parts(front={"fan_speed": 0.5})."""
        changed = (replace(part, **changes.get(part.name, {})) for part in self.components)
        return replace(self, components=tuple(changed))

    def pump_pressure(self, flow):
        """Pressure [Pa] of all pumps at a flow [m³/s]."""
        return sum(pump.pressure(flow) for pump in self.pumps)

    def resistance(self, flow, temperature):
        """Pressure drop [Pa] of tubing and components at a flow [m³/s] and mean coolant temperature [°C]."""
        coolant = self.coolant.properties(temperature)
        ratio = self.coolant.drop_ratio(temperature, coolant)
        parts = sum(part.drop_coefficient for part in self.components) * flow**DROP_EXPONENT
        return ratio * parts + self.tubing.pressure_drop(flow, coolant)


@dataclass(frozen=True, kw_only=True)
class Factors:
    """What a sample of the range multiplies; arrays of one shape, 1 (room: 0 K) for the point itself."""

    air_flow: np.ndarray | float = 1.0  # solved air flow of every radiator
    air_side: np.ndarray | float = 1.0  # α of the air side, before the fin efficiency
    resistance: dict = field(default_factory=dict)  # block name → factor on its R
    heat: dict = field(default_factory=dict)  # block name → factor on its heat
    pump: np.ndarray | float = 1.0  # pressure of all pumps
    drops: np.ndarray | float = 1.0  # all drops of the coolant
    room: np.ndarray | float = 0.0  # K, added to the room temperature


def solve(loop, factors=None, strict=True):
    """The operating point of a loop: a Result, its arrays of the shape that loop and factors broadcast to.

    Fixed point: flow from pump and drops, conductance of each radiator, then the temperatures, which are
    linear in the unknown start and case temperatures; again with properties at the new mean, until nothing
    moves by more than 1e-6 K. Raises LoopFault when the coolant ends outside its table or the answer does not
    settle; with strict=False the Result says so by `outside` and `converged`.

    >>> from thermal.document import load_loop
    >>> result = solve(load_loop("fixtures/loops/one-radiator.json"))
    >>> round(float(result.flow) * 60000, 3), round(float(result.mean_over_room), 2)
    (5.147, 9.15)
    """
    balance = Balance(loop, factors or Factors())
    mean, case = balance.room + 10.0, balance.room + 0.0
    now, before, moved = balance.conditions(mean, case), None, np.inf
    with np.errstate(over="ignore", divide="ignore", invalid="ignore"):
        for _ in range(_PASSES):
            nodes, case = balance.close(now)
            mean = sum(nodes[name] for name in _counted(loop)) / len(_counted(loop))
            now = balance.conditions(mean, case, before=now)
            here = (*nodes.values(), case)
            if before is not None:
                moved = np.maximum.reduce([np.abs(new - old) for new, old in zip(here, before, strict=True)])
                if np.all(moved <= _STILL):
                    break
            before = here
        result = _result(balance, nodes, case, now, moved)
    if strict:
        _refuse(result)
    return result


def _counted(loop):
    """Names of the parts whose inlets make the mean: passive parts and reservoirs do not count."""
    return [part.name for part in loop.components if isinstance(part, Pump | Block | Radiator)]


def _result(balance, nodes, case, now, moved):
    loop = balance.loop
    heats = balance.radiator_heats(nodes, case, now)
    counted = [nodes[name] for name in _counted(loop)]
    warmest, coolest = np.maximum.reduce(counted), np.minimum.reduce(counted)
    level, unknown = _sound(loop)
    residual = np.abs(sum(heats.values()) - balance.total) / np.maximum(balance.total, 1.0)
    return Result(
        loop=loop,
        flow=now.flow,
        pressure=balance.factors.pump * loop.pump_pressure(now.flow),
        nodes=nodes,
        mean=sum(counted) / len(counted),
        warmest=warmest,
        coolest=coolest,
        components={block.name: _part_temperature(block, balance, nodes, now.flow) for block in loop.blocks},
        radiators={r.name: _radiator_result(r, balance, heats[r.name], case, now) for r in loop.radiators},
        room=balance.room,
        case_air=case,
        heat=balance.total,
        sound_level=level,
        sound_unknown=unknown,
        energy_residual=residual,
        moved=moved,
        converged=(moved <= _STILL) & (residual < _RESIDUAL),
        outside=~((coolest >= COLDEST) & (warmest <= HOTTEST)),
    )


def _part_temperature(block, balance, nodes, flow):
    resistance = block.resistance_at(flow) * balance.factors.resistance.get(block.name, 1.0)
    return nodes[block.name] + balance.heats[block.name] * resistance


def _radiator_result(radiator, balance, heat, case, now):
    air, inlet = now.airs[radiator.name], balance.air_inlet(radiator, case)
    return RadiatorResult(
        name=radiator.name,
        heat=heat,
        air_flow=air.breeze.flow,
        air_pressure_drop=air.breeze.pressure_drop,
        fan_part=air.breeze.part,
        ua=np.where(air.capacity > 0.0, now.overall[radiator.name], 0.0)[()],
        conductance=now.conductances[radiator.name],
        air_inlet=inlet,
        air_outlet=inlet + np.where(air.capacity > 0.0, heat / air.capacity, 0.0)[()],
    )


def _sound(loop):
    """(level of all fans and pumps that declare one, or None; names of those that do not)."""
    levels, unknown = [], []
    for radiator in loop.radiators:
        if radiator.fans.sound_level is None:
            unknown.append(radiator.name)
        else:
            one = level_at_speed(radiator.fans.sound_level, radiator.fan_speed)
            levels.append(level_of_count(one, radiator.fans.count - radiator.stopped * radiator.layers))
    for pump in loop.pumps:
        if pump.sound_level is None:
            unknown.append(pump.name)
        else:
            levels.append(level_at_speed(pump.sound_level, pump.speed))
    return (add_levels(levels) if levels else None), tuple(unknown)


def _refuse(result):
    """Raise LoopFault when the answer is none."""
    if np.any(result.outside):
        worst = np.max(result.warmest) if np.any(~(result.warmest <= HOTTEST)) else np.min(result.coolest)
        raise LoopFault(
            "coolant",
            f"would reach {float(worst):.0f} °C; its figures hold from {COLDEST:.0f} to {HOTTEST:.0f} °C. "
            "Give the loop more radiator, air or flow, or less heat.",
        )
    if not np.all(result.converged):
        still = f"{float(np.max(result.moved)):.2g} K"
        raise LoopFault("components", f"the temperatures do not settle, they still move by {still}.")
