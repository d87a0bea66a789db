"""Heat transfer and friction in ducts, laminar and turbulent; fins; the crossflow exchanger.

Re and Nu are on the hydraulic diameter unless said otherwise. Arrays of any shape broadcast.
"""

import math

import numpy as np

__all__ = [
    "crossflow_effectiveness", "developing_friction", "fin_efficiency", "friction_factor", "gnielinski",
    "laminar_nusselt", "rectangle", "tube_nusselt",
]  # fmt: skip

LAMINAR_TO = 2300.0  # Reynolds number up to which a duct flow counts as laminar
TURBULENT_FROM = 4000.0  # and from which it counts as turbulent


def rectangle(aspect):
    """(Nu_T, f_D·Re) of fully developed laminar flow in a rectangular duct.

    aspect: shorter by longer side, in (0, 1]. Nu_T at constant wall temperature, f_D the Darcy factor.
    Source: polynomials of R. K. Shah, A. L. London, Laminar Flow Forced Convection in Ducts, 1978 (0.15 %).

    >>> [round(value, 2) for value in rectangle(1.0)]
    [2.98, 56.92]
    """
    a = aspect
    nusselt = 7.541 * (1 + a * (-2.610 + a * (4.970 + a * (-5.119 + a * (2.702 - 0.548 * a)))))
    fanning = 24.0 * (1 + a * (-1.3553 + a * (1.9467 + a * (-1.7012 + a * (0.9564 - 0.2537 * a)))))
    return nusselt, 4.0 * fanning


def laminar_nusselt(graetz, prandtl, nusselt_developed, friction_reynolds):
    """Mean Nu of laminar flow with both entries, constant wall temperature.

    graetz: Gz = Re·Pr·D_h/L; nusselt_developed, friction_reynolds: as `rectangle` gives (circle: 3.657, 64).
    Nu = {Nu_T³ + 0.7³ + (Lév − 0.7)³ + [(2/(1+22·Pr))^(1/6)·√Gz]³}^(1/3), Lév = 0.40377·(f_D Re·Gz)^(1/3).
    Valid for Re ≤ 2300, Pr 0.7 to 100. Source: VDI Heat Atlas, chapter G1, generalised from the circle by the
    Lévêque term (for the circle 0.40377·64^(1/3) = 1.615).

    >>> round(float(laminar_nusselt(20.0, 5.0, 3.657, 64.0)), 2)
    4.81
    """
    leveque = 0.40377 * np.cbrt(friction_reynolds * graetz)
    entry = np.sqrt(2.0 / (1.0 + 22.0 * prandtl)) * graetz * np.sqrt(graetz)
    return np.cbrt(nusselt_developed**3 + 0.343 + (leveque - 0.7) ** 3 + entry)


def gnielinski(reynolds, prandtl, diameter_to_length):
    """Mean Nu of turbulent flow in a smooth duct.

    (f/8)(Re−1000)Pr/(1+12.7√(f/8)(Pr^⅔−1))·(1+(D_h/L)^⅔), f = (1.8·lg Re − 1.5)⁻².
    Valid for Re 4000 to 10⁶, Pr 0.6 to 1000. Source: V. Gnielinski 1976; VDI Heat Atlas, chapter G1.

    >>> round(float(gnielinski(10000.0, 5.0, 0.01)), 1)
    72.0
    """
    friction = (1.8 * np.log10(reynolds) - 1.5) ** -2 / 8.0
    core = friction * (reynolds - 1000.0) * prandtl
    return (
        core
        / (1.0 + 12.7 * np.sqrt(friction) * (np.cbrt(prandtl) ** 2 - 1.0))
        * (1.0 + np.cbrt(diameter_to_length) ** 2)
    )


def tube_nusselt(reynolds, prandtl, diameter_to_length, nusselt_developed, friction_reynolds):
    """Mean Nu in a duct at any Re: laminar to 2300, turbulent from 4000, between by weight.

    Between, the laminar value at 2300 and the turbulent value at 4000 are weighted by (Re − 2300)/1700.
    Source: V. Gnielinski, Int. J. Heat Mass Transfer 63 (2013) 134.

    >>> low, high = (float(tube_nusselt(re, 5.0, 0.01, 3.657, 64.0)) for re in (2300.0, 4000.0))
    >>> round(float(tube_nusselt(3150.0, 5.0, 0.01, 3.657, 64.0)) - (low + high) / 2, 9)
    0.0
    """
    slow = np.minimum(reynolds, LAMINAR_TO)
    laminar = laminar_nusselt(slow * prandtl * diameter_to_length, prandtl, nusselt_developed, friction_reynolds)
    if np.all(reynolds <= LAMINAR_TO):
        return laminar
    turbulent = gnielinski(np.maximum(reynolds, TURBULENT_FROM), prandtl, diameter_to_length)
    return laminar + _turbulent_part(reynolds) * (turbulent - laminar)


def friction_factor(reynolds):
    """Darcy friction factor of a smooth round tube: 64/Re to 2300, 0.3164·Re^−0.25 from 4000, linear between.

    Valid to Re 10⁵. Sources: Hagen–Poiseuille; H. Blasius 1913; between them an interpolation.

    >>> [round(float(friction_factor(re)), 5) for re in (640.0, 10000.0)]
    [0.1, 0.03164]
    """
    laminar = 64.0 / np.minimum(reynolds, LAMINAR_TO)
    turbulent = 0.3164 * np.maximum(reynolds, TURBULENT_FROM) ** -0.25
    return laminar + _turbulent_part(reynolds) * (turbulent - laminar)


def _turbulent_part(reynolds):
    part = (reynolds - LAMINAR_TO) / (TURBULENT_FROM - LAMINAR_TO)
    return np.minimum(np.maximum(part, 0.0), 1.0)


def developed_friction_root_area(aspect):
    """f·Re (Fanning) of developed laminar flow in a rectangle, both on the square root of its area.

    12/{√ε·(1+ε)·[1 − (192·ε/π⁵)·tanh(π/(2ε))]}. Source: Y. S. Muzychka, M. M. Yovanovich, J. Fluids Eng. 131
    (2009) 061105, from the first term of the exact series.

    >>> round(developed_friction_root_area(1.0), 2)
    14.13
    """
    series = 1.0 - 192.0 * aspect / math.pi**5 * math.tanh(math.pi / (2.0 * aspect))
    return 12.0 / (math.sqrt(aspect) * (1.0 + aspect) * series)


def developing_friction(reynolds_root_area, length_to_root_area, developed):
    """Apparent Fanning friction factor of laminar flow developing from the duct's mouth.

    reynolds_root_area: Re on √A; length_to_root_area: L/√A; developed: `developed_friction_root_area`.
    f_app·Re = √[(3.44/√L⁺)² + developed²], L⁺ = (L/√A)/Re. Source: as above (±10 %).

    >>> round(float(developing_friction(100.0, 10.0, 14.13)), 3)
    0.178
    """
    entry = 3.44 * 3.44 * reynolds_root_area / length_to_root_area
    return np.sqrt(entry + developed * developed) / reynolds_root_area


def fin_efficiency(coefficient, conductivity, thickness, length):
    """Efficiency of a straight fin with an adiabatic tip: η = tanh(mL)/(mL), m = √(2α/(k·t)).

    coefficient α [W/(m² K)], conductivity k [W/(m K)], thickness t and length L [m].
    Valid for thin fins of constant section. Source: any heat transfer text, e.g. Incropera, table 3.5.

    >>> round(float(fin_efficiency(50.0, 390.0, 0.0001, 0.004)), 5)
    0.98655
    """
    reach = np.sqrt(coefficient * (2.0 / (conductivity * thickness))) * length
    return np.tanh(reach) / reach


def crossflow_effectiveness(transfer_units, capacity_ratio):
    """Effectiveness of a crossflow exchanger with both fluids unmixed.

    ε = 1 − exp{NTU^0.22/C_r·[exp(−C_r·NTU^0.78) − 1]}; C_r → 0: 1 − exp(−NTU). C_r = C_min/C_max in [0, 1].
    Within 4 % of the exact series (2 % from NTU 1 up). Source: Incropera, eq. 11.32.

    >>> round(float(crossflow_effectiveness(1.0, 0.5)), 6), round(float(crossflow_effectiveness(1.0, 0.0)), 6)
    (0.544764, 0.632121)
    """
    ratio = np.maximum(capacity_ratio, 1e-12)
    units = np.maximum(transfer_units, 1e-30)
    power = units**0.22
    return -np.expm1(power / ratio * np.expm1(-ratio * units / power))
