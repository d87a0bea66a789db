"""Pumps in series."""

from dataclasses import dataclass

from .component import Component
from .facts import fact

__all__ = ["Pump"]


@dataclass(frozen=True, kw_only=True)
class Pump(Component):
    """A centrifugal pump: Δp = max_pressure·(speed² − (flow/max_flow)²).

    That is Δp = p0·(1 − (q/q_max)²) moved to another speed by the affinity laws (q ∝ N, Δp ∝ N²); beyond its
    own free flow, or stopped, the pump resists. Pumps in series add. Source: common practice for small
    centrifugal pumps; affinity laws as in any text on pumps.
    """

    usual_volume = 50e-6
    reference_flow: float = fact(
        "m3/s", 1e-6, 0.01, default=3.8 / 60000, setting=True, meaning="flow of a drop beside the pump curve"
    )
    reference_drop: float = fact("Pa", 0.0, 1e6, default=0.0, setting=True, meaning="a drop beside the pump curve")
    max_flow: float = fact(
        "m3/s", above=0.0, high=0.01, meaning="flow without resistance at full speed",
        check="pump into a bucket",
    )  # fmt: skip
    max_pressure: float = fact(
        "Pa", above=0.0, high=1e6, meaning="pressure at no flow and full speed",
        check="a gauge at the closed outlet",
    )  # fmt: skip
    speed: float = fact("1", 0.0, 2.0, default=1.0, setting=True, meaning="part of full speed", check="its tach signal")
    heat: float = fact(
        "W", 0.0, 500.0, default=15.0, meaning="power it draws at this speed; all ends in the coolant",
        check="volts times amperes at its plug",
    )  # fmt: skip
    sound_level: float | None = fact("dB", -20.0, 120.0, default=None, meaning="level at full speed, as declared")
    limit: float | None = fact("degC", 20.0, 120.0, default=None, meaning="warmest coolant it may pump")

    def pressure(self, flow):
        """Pressure [Pa] it gives at a flow [m³/s].

        >>> pump = Pump(name="pump", max_flow=2e-4, max_pressure=40000.0)
        >>> pump.pressure(1e-4)
        30000.0
        """
        return self.max_pressure * (self.speed * self.speed - (flow / self.max_flow) ** 2)
