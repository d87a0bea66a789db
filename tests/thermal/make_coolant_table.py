"""Write thermal/coolant_table.csv from CoolProp: python -m tests.thermal.make_coolant_table

Water is IAPWS-95 ('Water'); the mixtures are the fits of Melinder 2010 (IIR), 'INCOMP::MEG' ethylene glycol
and 'INCOMP::MPG' propylene glycol, by mass fraction. Everything at 101 325 Pa.
"""

import csv
from pathlib import Path

import numpy as np

TABLE = Path(__file__).parents[2] / "thermal" / "coolant_table.csv"
TEMPERATURES = np.arange(5.0, 90.1, 5.0)
FRACTIONS = np.arange(0.0, 0.51, 0.05)
COLUMNS = ["fluid", "mass_fraction", "temperature", "density", "heat_capacity", "viscosity", "conductivity"]
FLUIDS = {"water": None, "ethylene glycol": "MEG", "propylene glycol": "MPG"}


def state(fluid, fraction, temperature):
    """(density, heat capacity, viscosity, conductivity) in SI from CoolProp."""
    from CoolProp.CoolProp import PropsSI

    name = "Water" if FLUIDS[fluid] is None else f"INCOMP::{FLUIDS[fluid]}[{fraction:.4f}]"
    return tuple(PropsSI(key, "T", temperature + 273.15, "P", 101325.0, name) for key in "DCVL")


def main():
    with TABLE.open("w", newline="") as file:
        write = csv.writer(file, lineterminator="\n").writerow
        write(COLUMNS)
        for fluid, code in FLUIDS.items():
            for fraction in FRACTIONS if code else [0.0]:
                for temperature in TEMPERATURES:
                    values = (f"{value:.6g}" for value in state(fluid, fraction, temperature))
                    write([fluid, f"{fraction:.2f}", f"{temperature:g}", *values])


if __name__ == "__main__":
    main()
