"""Coolant: water, and mixtures of ethylene or propylene glycol with water.

The figures stand in coolant_table.csv, made once from a reference property library (see
tests/thermal/make_coolant_table.py for sources). Valid from 5 to 90 °C, mass fraction of glycol 0 to 0.5.
"""

import csv
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

import numpy as np

from .facts import check_facts, fact

__all__ = ["COLDEST", "FLUIDS", "HOTTEST", "Coolant", "Properties"]

FLUIDS = ("water", "ethylene glycol", "propylene glycol")
COLDEST, HOTTEST = 5.0, 90.0  # °C, the table's ends


class Properties(NamedTuple):
    """Density [kg/m³], heat capacity [J/(kg K)], viscosity [Pa s], conductivity [W/(m K)]."""

    density: np.ndarray
    heat_capacity: np.ndarray
    viscosity: np.ndarray
    conductivity: np.ndarray

    @property
    def prandtl(self):
        return self.viscosity * self.heat_capacity / self.conductivity


@dataclass(frozen=True)
class Coolant:
    """What runs in the loop: a fluid of FLUIDS and the mass fraction of glycol in it (not the volume's)."""

    fluid: str = fact("text", FLUIDS, default="water", setting=True, meaning="what the coolant is",
                      check="read the label; a refractometer shows the glycol")  # fmt: skip
    mass_fraction: float = fact("1", 0.0, 0.5, default=0.0, setting=True, meaning="glycol by mass",
                                check="a refractometer, or weigh what is mixed")  # fmt: skip

    def __post_init__(self):
        check_facts(self, "coolant.")

    def properties(self, temperature):
        """Properties at a temperature [°C], any shape, held at the table's ends outside 5 to 90 °C.

        >>> water = Coolant("water").properties(30.0)
        >>> round(float(water.density), 1), f"{water.viscosity:.3e}"
        (995.6, '7.972e-04')
        """
        temperatures, columns = _columns(self.fluid, float(self.mass_fraction))
        density, heat_capacity, log_viscosity, conductivity = (
            np.interp(temperature, temperatures, column) for column in columns
        )
        return Properties(density, heat_capacity, np.exp(log_viscosity), conductivity)

    def drop_ratio(self, temperature, own):
        """How much more a part drops with this coolant than with water, of which its drop was declared.

        (ρ/ρ_w)^0.75·(μ/μ_w)^0.25 at one temperature [°C], the turbulent smooth-pipe law (Blasius);
        `own` are this coolant's properties there.
        """
        if self.fluid == "water":
            return 1.0
        water = WATER.properties(temperature)
        return (own.density / water.density) ** 0.75 * (own.viscosity / water.viscosity) ** 0.25


WATER = Coolant("water")


@lru_cache(maxsize=1)
def _table():
    """{fluid: (fractions, temperatures, values[fraction, temperature, property])}, ln of the viscosity."""
    with (Path(__file__).parent / "coolant_table.csv").open(newline="") as file:
        rows = [[line[0], *map(float, line[1:])] for line in list(csv.reader(file))[1:]]
    table = {}
    for fluid in FLUIDS:
        block = np.array([row[1:] for row in rows if row[0] == fluid])
        fractions, temperatures = np.unique(block[:, 0]), np.unique(block[:, 1])
        values = block[:, 2:].reshape(len(fractions), len(temperatures), 4)
        values[:, :, 2] = np.log(values[:, :, 2])
        table[fluid] = fractions, temperatures, values
    return table


@lru_cache(maxsize=64)
def _columns(fluid, fraction):
    """(temperatures, the four property columns) of one mixture, linear between the table's fractions."""
    fractions, temperatures, values = _table()[fluid]
    if len(fractions) == 1:
        return temperatures, values[0].T.copy()
    upper = int(np.clip(np.searchsorted(fractions, fraction), 1, len(fractions) - 1))
    weight = (fraction - fractions[upper - 1]) / (fractions[upper] - fractions[upper - 1])
    return temperatures, ((1.0 - weight) * values[upper - 1] + weight * values[upper]).T.copy()
