"""Dry air as an ideal gas."""

from typing import NamedTuple

import numpy as np

__all__ = ["HEAT_CAPACITY", "Air", "air_at", "conductivity", "density", "pressure_at", "viscosity"]

GAS_CONSTANT = 287.055  # J/(kg K), dry air
HEAT_CAPACITY = 1006.5  # J/(kg K), within 0.1 % from 0 to 60 °C
ZERO_CELSIUS = 273.15  # K


class Air(NamedTuple):
    """Air: density [kg/m³], viscosity [Pa s], conductivity [W/(m K)], heat capacity [J/(kg K)]."""

    density: np.ndarray
    viscosity: np.ndarray
    conductivity: np.ndarray
    heat_capacity: float


def air_at(temperature, pressure):
    """Air at a temperature [°C] and pressure [Pa]; arrays broadcast."""
    heavy, thick, leads = density(temperature, pressure), viscosity(temperature), conductivity(temperature)
    return Air(heavy, thick, leads, HEAT_CAPACITY)


def density(temperature, pressure=101325.0):
    """Density of dry air [kg/m³] at a temperature [°C] and pressure [Pa]: ρ = p/(R·T).

    Valid from −20 to 100 °C near atmospheric pressure, within 0.1 %. Source: ideal gas law.

    >>> round(density(20.0), 4)
    1.2041
    """
    return pressure / (GAS_CONSTANT * (temperature + ZERO_CELSIUS))


def viscosity(temperature):
    """Dynamic viscosity of air [Pa s] at a temperature [°C].

    μ = 1.716e-5·(T/273.15)^1.5·(273.15+110.4)/(T+110.4), T in kelvin.
    Valid from −50 to 300 °C, within 1 %. Source: Sutherland's law (W. Sutherland 1893), constants for air as
    in F. M. White, Viscous Fluid Flow.

    >>> f"{viscosity(20.0):.4g}"
    '1.813e-05'
    """
    kelvin = temperature + ZERO_CELSIUS
    ratio = kelvin / 273.15
    return 1.716e-5 * ratio * np.sqrt(ratio) * (273.15 + 110.4) / (kelvin + 110.4)


def conductivity(temperature):
    """Thermal conductivity of air [W/(m K)] at a temperature [°C]: the same law with 2.414e-2 and 194 K.

    Valid from −50 to 300 °C, within 1.5 %. Source: as `viscosity`.

    >>> round(float(conductivity(20.0)), 5)
    0.02574
    """
    kelvin = temperature + ZERO_CELSIUS
    ratio = kelvin / 273.15
    return 2.414e-2 * ratio * np.sqrt(ratio) * (273.15 + 194.0) / (kelvin + 194.0)


def pressure_at(altitude):
    """Air pressure [Pa] at an altitude [m]: p = 101325·(1 − 2.25577e-5·h)^5.25588.

    Valid from −500 to 11,000 m. Source: ISO 2533, standard atmosphere.

    >>> round(pressure_at(1000.0))
    89875
    """
    return 101325.0 * (1.0 - 2.25577e-5 * altitude) ** 5.25588
