"""What a solve answers. Every figure is an array of the shape the loop and the factors broadcast to."""

from dataclasses import dataclass

import numpy as np

__all__ = ["RadiatorResult", "Result"]


@dataclass(frozen=True, kw_only=True)
class RadiatorResult:
    """One radiator at the operating point."""

    name: str
    heat: np.ndarray  # W
    air_flow: np.ndarray  # m³/s, all its fans
    air_pressure_drop: np.ndarray  # Pa, core and grille
    fan_part: np.ndarray  # flow of a fan as a part of its free flow at this speed
    ua: np.ndarray  # W/K, both sides
    conductance: np.ndarray  # W/K of (coolant inlet − air inlet)
    air_inlet: np.ndarray  # °C
    air_outlet: np.ndarray  # °C

    @property
    def per_ten_kelvin(self):
        """Heat [W] it would give off 10 K above its air."""
        return 10.0 * self.conductance


@dataclass(frozen=True, kw_only=True)
class Result:
    """The operating point of a loop. Temperatures °C, pressures Pa, flow m³/s, levels dB, heats W."""

    loop: object  # the Loop that was solved
    flow: np.ndarray
    pressure: np.ndarray  # the pumps', and so the loop's, at this flow
    nodes: dict  # component name → coolant temperature at its inlet, in loop order
    mean: np.ndarray  # coolant, unweighted over the inlets of pumps, blocks and radiators
    warmest: np.ndarray
    coolest: np.ndarray
    components: dict  # block name → temperature of the part it cools
    radiators: dict  # radiator name → RadiatorResult
    room: np.ndarray
    case_air: np.ndarray
    heat: np.ndarray  # all heat given to the coolant
    sound_level: np.ndarray | None  # None when no fan or pump declares a level
    sound_unknown: tuple  # names of fans' radiators and pumps that declare none
    energy_residual: np.ndarray  # of the heat; must stay below 1e-6
    moved: np.ndarray  # K, by which the last pass still moved anything
    converged: np.ndarray  # bool
    outside: np.ndarray  # bool: coolant outside the temperatures its table covers

    @property
    def mean_over_room(self):
        """Mean coolant above the room [K]."""
        return self.mean - self.room
