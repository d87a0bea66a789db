"""The loop's tube and fittings, taken together."""

import math
from dataclasses import dataclass

from .ducts import friction_factor
from .facts import check_facts, fact

__all__ = ["Tubing"]


@dataclass(frozen=True, kw_only=True)
class Tubing:
    """All tube of the loop: Darcy–Weisbach friction, plus a sum of loss coefficients for the fittings."""

    length: float = fact("m", 0.0, 100.0, default=2.0, meaning="all tube of the loop", check="tape or string")
    bore: float = fact("m", 1e-3, 0.1, default=0.010, meaning="inner diameter", check="calliper on a cut end")
    fitting_loss: float = fact(
        "1", 0.0, 1000.0, default=12.0, meaning="sum of the fittings' loss coefficients; about 1 an elbow"
    )

    def __post_init__(self):
        check_facts(self, "tubing.")

    @property
    def area(self):
        """Flow area [m²]."""
        return math.pi / 4.0 * self.bore * self.bore

    def pressure_drop(self, flow, coolant):
        """Pressure drop [Pa] at a flow above 0 [m³/s] of a coolant (its Properties): ½ρV²·(f_D·L/d + K).

        Valid for smooth tube to Re 10⁵. Source: Darcy–Weisbach; friction as `ducts.friction_factor`.

        >>> from thermal.coolant import WATER
        >>> straight = Tubing(length=1.0, bore=0.010, fitting_loss=0.0)
        >>> round(float(straight.pressure_drop(6.0 / 60000, WATER.properties(30.0))))
        2274
        """
        speed = flow / self.area
        friction = friction_factor(coolant.density * speed * self.bore / coolant.viscosity)
        losses = friction * (self.length / self.bore) + self.fitting_loss
        return 0.5 * coolant.density * speed * speed * losses
