"""The balances of a loop: pressure (the flow), heat (the temperatures), air in the case."""

from typing import NamedTuple

import numpy as np

from .air import HEAT_CAPACITY, air_at, density
from .component import DROP_EXPONENT
from .coolant import Properties
from .radiator import Breeze
from .roots import falling_root

__all__ = ["AirSide", "Balance", "Conditions"]


class AirSide(NamedTuple):
    """A radiator's air at its inlet temperature: Breeze, (hA) [W/K], capacity flow ρ·cp·Q [W/K]."""

    breeze: Breeze
    conductance: np.ndarray
    capacity: np.ndarray


class Conditions(NamedTuple):
    """What the temperatures set: flow [m³/s], coolant, its capacity flow [W/K]; dicts by radiator name."""

    flow: np.ndarray
    coolant: Properties
    capacity: np.ndarray
    airs: dict  # AirSide
    overall: dict  # UA, W/K
    conductances: dict  # ε·C_min, W/K


class Balance:
    """One loop with one set of factors (`loop.Factors`), whatever their shape."""

    def __init__(self, loop, factors):
        self.loop, self.factors = loop, factors
        self.room = loop.room_temperature + factors.room
        self.heats = {part.name: part.heat * factors.heat.get(part.name, 1.0) for part in loop.components}
        self.total = sum(self.heats.values())
        outdoors = [radiator for radiator in loop.radiators if radiator.draws_from == "room"]
        self._outdoors = {radiator.name: self._air_side(radiator, self.room) for radiator in outdoors}

    def conditions(self, mean, case, before=None):
        """Conditions at a mean coolant and a case air temperature [°C]; before: earlier ones, close by."""
        coolant = self.loop.coolant.properties(mean)
        flow = self._flow(mean, coolant, before and before.flow)
        capacity = coolant.density * coolant.heat_capacity * flow
        airs, overall, conductances = {}, {}, {}
        for radiator in self.loop.radiators:
            name = radiator.name
            air = self._outdoors.get(name)
            if air is None:
                air = self._air_side(radiator, case, before and before.airs[name].breeze.part)
            airs[name] = air
            overall[name] = 1.0 / (1.0 / air.conductance + 1.0 / radiator.water_conductance(flow, coolant))
            conductances[name] = radiator.conductance(overall[name], air.capacity, capacity)
        return Conditions(flow, coolant, capacity, airs, overall, conductances)

    def close(self, now):
        """(coolant at each inlet by name, case air) that satisfy all heat balances under Conditions.

        Every temperature is a + b·start + c·case; the loop's end meeting its start and the case air's balance
        are two linear equations.
        """
        a, b, c = 0.0, 1.0, 0.0  # the coolant so far
        d, e, f = self.loop.case_heat, 0.0, 0.0  # the heat given to the case air so far, d + e·start + f·case
        nodes = {}
        for part in self.loop.components:
            nodes[part.name] = a, b, c
            a = a + self.heats[part.name] / now.capacity
            if part.name not in now.conductances:
                continue
            indoors, conductance = part.draws_from == "case", now.conductances[part.name]
            fixed = conductance * (a - (0.0 if indoors else self.room))
            by_start, by_case = conductance * b, conductance * (c - float(indoors))
            a, b, c = a - fixed / now.capacity, b - by_start / now.capacity, c - by_case / now.capacity
            if part.blows_to == "case":
                d, e, f = d + fixed, e + by_start, f + by_case
        through = self._case_capacity(now)
        # (b − 1)·start + c·case = −a  and  e·start + (f − through)·case = −d − through·room
        right = d + through * self.room
        determinant = (b - 1.0) * (f - through) - c * e
        start = (c * right - a * (f - through)) / determinant
        case = (a * e - (b - 1.0) * right) / determinant
        return {name: a + b * start + c * case for name, (a, b, c) in nodes.items()}, case

    def radiator_heats(self, nodes, case, now):
        """Heat [W] of each radiator by name, from its own conductance and its two inlets."""
        return {
            r.name: now.conductances[r.name] * (nodes[r.name] - self.air_inlet(r, case)) for r in self.loop.radiators
        }

    def air_inlet(self, radiator, case):
        """Temperature of the air a radiator draws [°C]."""
        return self.room if radiator.draws_from == "room" else case

    def _air_side(self, radiator, temperature, near=None):
        air = air_at(temperature, self.loop.air_pressure)
        breeze = radiator.breeze(air, near)
        flow = breeze.flow * self.factors.air_flow
        conductance = radiator.air_conductance(flow, air, self.factors.air_side)
        return AirSide(breeze._replace(flow=flow), conductance, air.density * air.heat_capacity * flow)

    def _flow(self, mean, coolant, near):
        """Flow [m³/s] at which the pumps' pressure meets the loop's drops."""
        loop, factors = self.loop, self.factors
        strength = sum(pump.max_pressure * pump.speed**2 for pump in loop.pumps)
        fade = sum(pump.max_pressure / pump.max_flow**2 for pump in loop.pumps)
        parts = sum(part.drop_coefficient for part in loop.components)
        parts = parts * loop.coolant.drop_ratio(mean, coolant)
        most = np.sqrt(strength / fade)

        def excess(flow):
            drops = parts * flow**DROP_EXPONENT + loop.tubing.pressure_drop(flow, coolant)
            return factors.pump * (strength - fade * flow * flow) - factors.drops * drops

        return falling_root(excess, most * 1e-9, most, near)

    def _case_capacity(self, now):
        """ρ·cp·Q [W/K] of the air through the case: what comes in or what goes out, whichever is more."""
        inward = density(self.room, self.loop.air_pressure) * HEAT_CAPACITY * self.loop.case_air_flow
        outward = 0.0
        for radiator in self.loop.radiators:
            way = radiator.draws_from, radiator.blows_to
            if way == ("room", "case"):
                inward = inward + now.airs[radiator.name].capacity
            elif way == ("case", "room"):
                outward = outward + now.airs[radiator.name].capacity
        through = np.maximum(inward, outward)
        return np.where(through > 0.0, through, 1.0)  # still air without heat stays at the room's temperature
