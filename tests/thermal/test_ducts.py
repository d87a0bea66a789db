"""Ducts, fins and the crossflow exchanger against exact solutions, handbook tables and reference libraries."""

import math

import fluids
import ht
import numpy as np
import pytest

from thermal.ducts import (
    crossflow_effectiveness,
    developed_friction_root_area,
    developing_friction,
    fin_efficiency,
    friction_factor,
    gnielinski,
    laminar_nusselt,
    rectangle,
    tube_nusselt,
)

CIRCLE = (3.656793, 64.0)  # exact: Nu_T of the Graetz problem, Hagen–Poiseuille


# Exact series and finite volumes for what R. K. Shah, A. L. London 1978 tabulate: f·Re Fanning, Nu_T
@pytest.mark.parametrize(
    ("aspect", "fanning", "nusselt"),
    [
        (1.0, 14.2271, 2.9776),
        (1 / 2, 15.5481, 3.392),
        (1 / 4, 18.2328, 4.440),
        (1 / 8, 20.5846, 5.594),
        (1e-9, 24.0, 7.5407),
    ],
)
def test_developed_flow_in_a_rectangle(aspect, fanning, nusselt):
    ours, friction = rectangle(aspect)
    assert friction == pytest.approx(4 * fanning, rel=0.005)
    assert ours == pytest.approx(nusselt, rel=0.005)


# Exact Graetz solution (eigenvalues λ² = 7.31359, 44.6095, 113.921 …): mean Nu at x* = 1/Gz
@pytest.mark.parametrize(
    ("station", "nusselt"),
    [(0.001, 15.384), (0.005, 8.943), (0.01, 7.155), (0.02, 5.815), (0.05, 4.641), (0.1, 4.156), (0.2, 3.906)],
)
def test_thermal_entry_against_graetz(station, nusselt):
    """At a very high Pr the velocity is developed at once, and only the thermal entry is left."""
    assert laminar_nusselt(1 / station, 1e6, *CIRCLE) == pytest.approx(nusselt, rel=0.02)


# Muzychka & Yovanovich, J. Heat Transfer 126 (2004), both entries, Pr 5 (constants from memory)
@pytest.mark.parametrize(("station", "nusselt"), [(0.001, 18.213), (0.01, 7.461), (0.05, 4.579), (0.2, 3.792)])
def test_both_entries_against_another_correlation(station, nusselt):
    assert laminar_nusselt(1 / station, 5.0, *CIRCLE) == pytest.approx(nusselt, rel=0.12)


def test_hausen_agrees_on_a_long_duct():
    """Hausen 1943 as in `ht`; its exact error at x* 0.1 is +1.6 %."""
    theirs = ht.conv_internal.laminar_entry_thermal_Hausen(Re=1000.0, Pr=5.0, L=5.0, Di=0.01)
    assert laminar_nusselt(1000.0 * 5.0 * 0.01 / 5.0, 1e6, *CIRCLE) == pytest.approx(theirs, rel=0.03)


# R. K. Shah, J. Fluids Eng. 100 (1978) 177: f_app·Re on D_h at x⁺ = (x/D_h)/Re
@pytest.mark.parametrize(
    ("aspect", "figures"),
    [(1.0, (109.69, 38.39, 17.61, 14.58)), (0.5, (109.86, 38.64, 18.59, 15.87)), (0.01, (111.57, 39.40, 25.64, 24.17))],
)
def test_developing_friction_against_shah(aspect, figures):
    """The form used claims ±10 %; against Shah it stays within 6.5 %."""
    height = 1.0 / aspect
    diameter, root_area = 2.0 * height / (1.0 + height), math.sqrt(height)
    for station, figure in zip((0.001, 0.01, 0.1, 1.0), figures, strict=True):
        reynolds = 100.0
        ours = developing_friction(
            reynolds * root_area / diameter,
            station * diameter * reynolds / root_area,
            developed_friction_root_area(aspect),
        )
        assert ours * reynolds == pytest.approx(figure, rel=0.065)


# fluids.friction_factor (smooth), 10 mm bore, water at 30 °C. At Re 2650 the library is already turbulent, ours
# is a fifth of the way: nobody knows which it is, so only the size is compared there.
@pytest.mark.parametrize(
    ("reynolds", "figure", "within"),
    [(2650, 0.04522, 0.40), (5301, 0.03677, 0.03), (10601, 0.03041, 0.03), (15902, 0.02740, 0.03)],
)
def test_friction_against_the_fluids_library(reynolds, figure, within):
    assert figure == pytest.approx(fluids.friction_factor(Re=reynolds, eD=0.0), rel=0.002)
    assert friction_factor(float(reynolds)) == pytest.approx(figure, rel=within)


def test_friction_at_a_larger_pipe():
    """Crane TP-410, example 7.1: water at 30 °C, 200 L/min in a smooth 50 mm pipe, Re 100 600, f 0.0179."""
    assert friction_factor(100600.0) == pytest.approx(0.0179, rel=0.015)


def test_friction_is_laminar_and_turbulent_by_definition():
    assert friction_factor(1000.0) == pytest.approx(0.064, rel=1e-12)
    assert friction_factor(2300.0) == pytest.approx(64 / 2300, rel=1e-12)
    assert friction_factor(4000.0) == pytest.approx(0.3164 * 4000**-0.25, rel=1e-12)
    assert friction_factor(3150.0) == pytest.approx((64 / 2300 + 0.3164 * 4000**-0.25) / 2, rel=1e-12)


@pytest.mark.parametrize("reynolds", [4000.0, 8000.0, 20000.0, 1e5])
@pytest.mark.parametrize("prandtl", [0.7, 5.0, 20.0])
def test_gnielinski_against_the_ht_library(reynolds, prandtl):
    friction = (1.8 * math.log10(reynolds) - 1.5) ** -2
    theirs = ht.conv_internal.turbulent_Gnielinski(Re=reynolds, Pr=prandtl, fd=friction)
    assert gnielinski(reynolds, prandtl, 0.0) == pytest.approx(theirs, rel=1e-9)


def test_between_laminar_and_turbulent_it_is_steady():
    reynolds = np.linspace(2000.0, 4400.0, 500)
    nusselt = tube_nusselt(reynolds, 5.0, 0.005, *CIRCLE)
    assert np.all(np.diff(nusselt) > 0.0)
    assert np.max(np.diff(nusselt)) < 0.2
    assert nusselt[0] == pytest.approx(laminar_nusselt(2000.0 * 5.0 * 0.005, 5.0, *CIRCLE))


# tanh(mL)/(mL), any heat transfer text; Kern, Process Heat Transfer, p. 522 (read by eye from its table: 2.5 %)
@pytest.mark.parametrize(
    ("reach", "efficiency", "within"),
    [
        (0.2, 0.98688, 1e-4),
        (0.5, 0.92423, 1e-4),
        (1.0, 0.76159, 1e-4),
        (1.5, 0.60343, 1e-4),
        (2.0, 0.48201, 1e-4),
        (0.655, 0.872, 0.025),
        (1.31, 0.660, 0.025),
        (1.97, 0.498, 0.025),
        (3.28, 0.303, 0.025),
    ],
)
def test_fin_efficiency(reach, efficiency, within):
    assert fin_efficiency(reach**2, 2.0, 1.0, 1.0) == pytest.approx(efficiency, rel=within)


# the same formula worked for brass and aluminium: α, k, t, L
@pytest.mark.parametrize(
    ("coefficient", "conductivity", "thickness", "efficiency"),
    [(50.0, 390.0, 1e-4, 0.98655), (60.0, 111.0, 8e-5, 0.93366), (60.0, 237.0, 1e-4, 0.97384)],
)
def test_fin_efficiency_of_real_fins(coefficient, conductivity, thickness, efficiency):
    assert fin_efficiency(coefficient, conductivity, thickness, 0.004) == pytest.approx(efficiency, rel=1e-4)


# Exact: Mason's series (1955), as `ht` sums it; the form used is Incropera eq. 11.32, good to 4 %
@pytest.mark.parametrize(
    ("units", "ratio", "exact", "approximate"),
    [
        (0.25, 1.0, 0.198544, 0.191050),
        (0.5, 0.25, 0.375094, 0.372057),
        (0.5, 1.0, 0.326330, 0.315449),
        (1.0, 0.25, 0.588011, 0.587202),
        (1.0, 0.5, 0.547490, 0.544764),
        (1.0, 1.0, 0.476222, 0.468536),
        (2.0, 0.25, 0.797422, 0.803301),
        (2.0, 0.5, 0.732409, 0.738758),
        (2.0, 1.0, 0.614247, 0.615407),
        (3.0, 0.5, 0.819708, 0.828405),
        (4.0, 1.0, 0.722426, 0.723487),
    ],
)
def test_crossflow_effectiveness(units, ratio, exact, approximate):
    ours = crossflow_effectiveness(units, ratio)
    assert ours == pytest.approx(approximate, abs=1e-6)
    assert ours == pytest.approx(exact, rel=0.04)
    assert exact == pytest.approx(ht.effectiveness_from_NTU(units, ratio, subtype="crossflow"), abs=1e-4)


@pytest.mark.parametrize("units", [0.1, 1.0, 2.0, 5.0])
def test_crossflow_without_a_capacity_ratio(units):
    assert crossflow_effectiveness(units, 0.0) == pytest.approx(1.0 - math.exp(-units), rel=1e-9)


@pytest.mark.parametrize(("units", "ratio"), [(1.0, 0.5), (2.0, 0.5), (2.0, 1.0), (2.0, 0.25)])
def test_crossflow_lies_between_counterflow_and_parallel_flow(units, ratio):
    """Order at equal NTU and C_r, any text on exchangers; both by `ht`."""
    ours = crossflow_effectiveness(units, ratio)
    assert ht.effectiveness_from_NTU(units, ratio, subtype="counterflow") > ours
    assert ours > ht.effectiveness_from_NTU(units, ratio, subtype="parallel")
