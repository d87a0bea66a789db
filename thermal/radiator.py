"""Radiators: flat tubes with corrugated fins between them, fans in front."""

import math
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

import numpy as np

from .component import Component
from .ducts import (
    crossflow_effectiveness,
    developed_friction_root_area,
    developing_friction,
    fin_efficiency,
    laminar_nusselt,
    rectangle,
    tube_nusselt,
)
from .facts import fact
from .fan import RATED_DENSITY, Fans
from .faults import LoopFault
from .roots import falling_root

__all__ = ["Breeze", "Core", "Radiator"]

TANK_ALLOWANCE = 0.012  # m, thickness less core depth when only the thickness is known
STALL_PART = 0.4  # of free flow, below which a fan may stall
_SIDES = ("room", "case")


class Core(NamedTuple):
    """The geometry of a core that works, in SI: areas, diameters and the duct constants of both sides."""

    face: float  # m², in the wind
    open_part: float  # σ, open part of the face
    air_diameter: float
    air_root_area: float  # √A of one air cell
    fin_area: float  # m², all fins
    prime_area: float  # m², all bare tube in the air
    air_nusselt: float
    air_friction_reynolds: float
    air_friction_developed: float
    tube_diameter: float
    tube_flow_area: float  # m², of the tubes of one pass
    tube_surface: float  # m², wetted, all tubes
    tube_length: float
    tube_nusselt: float
    tube_friction_reynolds: float


class Breeze(NamedTuple):
    """What the fans push through a radiator: flow [m³/s], its pressure drop [Pa], part of the free flow."""

    flow: np.ndarray
    pressure_drop: np.ndarray
    part: np.ndarray


@dataclass(frozen=True, kw_only=True)
class Radiator(Component):
    """A radiator with its fans.

    A stopped fan takes its section out of the wind: no heat there, and the tubes are that much shorter.
    """

    reference_drop: float = fact(
        "Pa", 0.0, 1e6, default=2500.0, meaning="pressure drop with water at the reference flow",
        check="two gauges, or the flow with and without it",
    )  # fmt: skip
    sections: int = fact("int", 1, 36, meaning="fan places of its face")
    section_size: float = fact("m", 0.03, 0.5, default=0.120, meaning="side of one fan place")
    thickness: float | None = fact("m", 0.005, 0.3, default=None, meaning="over the tanks", check="calliper")
    core_depth: float | None = fact(
        "m", 0.004, 0.3, default=None, meaning="tubes and fins in the wind; unknown: thickness less 12 mm",
        check="calliper, without the tanks",
    )  # fmt: skip
    fins_per_inch: float = fact("1/in", 3.0, 60.0, default=16.0, meaning="fins an inch", check="count over 20 mm")
    fin_height: float = fact("m", 0.001, 0.05, default=0.008, meaning="between two tubes", check="calliper")
    fin_thickness: float = fact("m", 1e-5, 5e-4, default=5e-5, meaning="sheet of the fins")
    tube_thickness: float = fact("m", 5e-4, 0.02, default=0.002, meaning="flat tube across", check="calliper")
    tube_wall: float = fact("m", 2e-5, 0.002, default=2e-4, meaning="wall of a tube")
    fin_conductivity: float = fact("W/(m K)", 5.0, 430.0, default=380.0, meaning="copper fins 380, brass 110")
    passes: int = fact("int", 1, 8, default=2, meaning="times the coolant crosses")
    fans: Fans = field(default=None)
    fan_speed: float = fact(
        "1", 0.0, 3.0, default=1.0, setting=True, meaning="part of rated fan speed", check="tach signal"
    )
    layers: int = fact("int", 1, 2, default=1, setting=True, meaning="2: fans on both faces, push and pull")
    stopped: int = fact("int", 0, 63, default=0, setting=True, meaning="fans that stand still")
    grille_loss: float = fact(
        "1", 0.0, 50.0, default=1.5, meaning="loss of panel, filter and grille on the face velocity; 0 bare"
    )
    draws_from: str = fact("text", _SIDES, default="room", setting=True, meaning="where its air comes from")
    blows_to: str = fact("text", _SIDES, default="room", setting=True, meaning="where its air goes")

    def __post_init__(self):
        super().__post_init__()
        for name, what in self._wrong():
            raise LoopFault(f"{self.name}.{name}", what)

    def _wrong(self):
        """(fact, sentence) of what does not fit together."""
        if self.fans is None:
            yield "fans", "are missing; a radiator without fans carries next to no heat."
            return
        if self.core_depth is None and (self.thickness is None or self.thickness <= TANK_ALLOWANCE + 0.004):
            yield "core_depth", "is missing; give it, or a thickness above 16 mm."
        if self.core_depth is not None and self.core_depth <= 2.0 * self.tube_wall:
            yield "core_depth", "leaves no room for coolant between the tube walls."
        if self.tube_thickness <= 2.0 * self.tube_wall:
            yield "tube_thickness", "leaves no room for coolant between its walls."
        if 0.0254 / self.fins_per_inch <= self.fin_thickness:
            yield "fins_per_inch", "leaves no gap between fins of that thickness."
        if self.fans.count % self.layers:
            yield "fans.count", f"{self.fans.count} cannot be shared by {self.layers} layers."
        elif self.stopped > self.columns:
            yield "stopped", f"{self.stopped} is more than the {self.columns} fans side by side."

    @property
    def depth(self):
        """Depth of the core in the wind [m], as given or from the thickness."""
        return self.thickness - TANK_ALLOWANCE if self.core_depth is None else self.core_depth

    @property
    def columns(self):
        """Fans side by side."""
        return self.fans.count // self.layers

    @property
    def holds(self):
        """Coolant in it [m³]: declared, or its tubes and a typical 30 mL of tank a section."""
        if self.volume is not None:
            return self.volume
        wide, narrow = self.depth - 2.0 * self.tube_wall, self.tube_thickness - 2.0 * self.tube_wall
        return self._tube_run * wide * narrow + 30e-6 * self.sections

    @property
    def solid(self):
        """Volume of metal in fins and tubes [m³]."""
        period = self.fin_height + self.tube_thickness
        face = self.sections * self.section_size**2
        fins = face / period * self.fin_height * self.depth * self.fin_thickness * self.fins_per_inch / 0.0254
        return fins + self._tube_run * 2.0 * (self.depth + self.tube_thickness) * self.tube_wall

    @property
    def _tube_run(self):
        """Length of all its tubes [m]."""
        period = self.fin_height + self.tube_thickness
        return self.section_size / period * self.sections * self.section_size

    @property
    def running_part(self):
        """Part of the face whose fans run."""
        return 1.0 - self.stopped / self.columns

    @cached_property
    def core(self):
        """The geometry of what is in the wind (a Core)."""
        depth, height = self.depth, self.fin_height
        pitch = 0.0254 / self.fins_per_inch
        gap, period = pitch - self.fin_thickness, height + self.tube_thickness
        part = max(self.running_part, 1e-9)
        face = self.sections * self.section_size**2 * part
        cells = face / (period * pitch)
        air_aspect = min(gap, height) / max(gap, height)
        wide, narrow = depth - 2.0 * self.tube_wall, self.tube_thickness - 2.0 * self.tube_wall
        tubes, length = self.section_size / period, self.sections * self.section_size * part
        return Core(
            face,
            height / period * gap / pitch,
            2.0 * gap * height / (gap + height),
            math.sqrt(gap * height),
            cells * 2.0 * height * depth,
            cells * 2.0 * gap * depth,
            *rectangle(air_aspect),
            developed_friction_root_area(air_aspect),
            2.0 * wide * narrow / (wide + narrow),
            tubes / self.passes * wide * narrow,
            tubes * 2.0 * (wide + narrow) * length,
            length,
            *rectangle(min(wide, narrow) / max(wide, narrow)),
        )

    def air_pressure_drop(self, flow, air):
        """Pressure drop of the air [Pa] at a flow above 0 [m³/s] of air at the inlet (`air.Air`).

        ½ρV²·(4·f_app·depth/D_h + 0.42·(1−σ²) + (1−σ)²) + K·½ρ·(Q/A_face)², V in the cells. Valid for laminar
        cells (Re on D_h below 2300). Source: developing friction as `ducts.developing_friction`; entry and
        exit losses as usual for compact cores (W. M. Kays, A. L. London, Compact Heat Exchangers).
        """
        core = self.core
        approach = flow / core.face
        speed = approach / core.open_part
        reynolds = air.density * speed * core.air_root_area / air.viscosity
        friction = developing_friction(reynolds, self.depth / core.air_root_area, core.air_friction_developed)
        mouths = 0.42 * (1.0 - core.open_part**2) + (1.0 - core.open_part) ** 2
        losses = 4.0 * self.depth / core.air_diameter * friction + mouths
        return 0.5 * air.density * (speed * speed * losses + self.grille_loss * approach * approach)

    def fan_pressure(self, flow, air):
        """Static pressure [Pa] of its running fans together at a flow [m³/s] up to their free flow.

        Affinity: flow as the speed, pressure as its square and as the air's density; layers add their pressures.
        """
        each = flow / ((self.columns - self.stopped) * self.fan_speed)
        return self.layers * self.fan_speed**2 * air.density / RATED_DENSITY * self.fans.pressure(each)

    def breeze(self, air, near=None):
        """Where the fans' curve meets the core's pressure drop: a Breeze.

        air: `air.Air` at the inlet; near: a Breeze.part known to be close.
        """
        running = self.columns - self.stopped
        fan_speed = np.maximum(self.fan_speed, 1e-6)  # a stopped fan's flow is set to 0 below
        free = running * self.fans.free_flow * fan_speed
        strength = self.layers * fan_speed * fan_speed * air.density / RATED_DENSITY

        def excess(part):
            pressure = strength * self.fans.pressure(part * self.fans.free_flow)
            return pressure - self.air_pressure_drop(np.maximum(part * free, 1e-12), air)

        part = falling_root(excess, self._last_gain(excess), 1.0, near) if running else 0.0
        part = np.where(np.asarray(self.fan_speed) > 0.0, part, 0.0)[()]
        flow = part * free
        return Breeze(flow, np.where(flow > 0.0, self.air_pressure_drop(np.maximum(flow, 1e-12), air), 0.0)[()], part)

    def _last_gain(self, excess):
        """A part of free flow below the highest crossing: 0, unless a measured curve rises somewhere."""
        if self.fans.falls:
            return 0.0
        low = 0.0
        for part in np.linspace(0.0, 1.0, 65)[1:-1]:
            low = np.where(excess(part) > 0.0, part, low)
        return low

    def air_conductance(self, flow, air, factor=1.0):
        """(hA) of the air side [W/K] at a flow [m³/s]: α·(η·A_fin + A_prime).

        Nu of `ducts.laminar_nusselt` for one cell, its length the core depth; factor multiplies α before the
        fin efficiency, L = half the fin height.
        """
        core = self.core
        speed = np.maximum(flow, 1e-12) / (core.face * core.open_part)
        prandtl = air.viscosity * air.heat_capacity / air.conductivity
        reynolds = air.density * speed * core.air_diameter / air.viscosity
        graetz = reynolds * prandtl * core.air_diameter / self.depth
        nusselt = laminar_nusselt(graetz, prandtl, core.air_nusselt, core.air_friction_reynolds)
        coefficient = factor * nusselt * air.conductivity / core.air_diameter
        efficiency = fin_efficiency(coefficient, self.fin_conductivity, self.fin_thickness, 0.5 * self.fin_height)
        return coefficient * (efficiency * core.fin_area + core.prime_area)

    def water_conductance(self, flow, coolant):
        """(hA) of the coolant side [W/K] at a flow [m³/s] of a coolant (`coolant.Properties`)."""
        core = self.core
        prandtl = coolant.prandtl
        reynolds = coolant.density * flow / core.tube_flow_area * core.tube_diameter / coolant.viscosity
        nusselt = tube_nusselt(
            reynolds, prandtl, core.tube_diameter / core.tube_length, core.tube_nusselt,
            core.tube_friction_reynolds,
        )  # fmt: skip
        return nusselt * coolant.conductivity / core.tube_diameter * core.tube_surface

    @staticmethod
    def conductance(overall, air_capacity, water_capacity):
        """Heat per difference of the two inlets [W/K]: ε·C_min.

        overall: UA [W/K]; the capacity flows ρ·cp·Q of both sides [W/K]; no air carries no heat.

        >>> round(float(Radiator.conductance(30.0, 28.2, 230.0)), 2)
        17.81
        """
        smaller, larger = np.minimum(air_capacity, water_capacity), np.maximum(air_capacity, water_capacity)
        safe = np.maximum(smaller, 1e-9)
        return crossflow_effectiveness(overall / safe, smaller / larger) * smaller
