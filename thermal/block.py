"""Blocks: cold plates on processors, graphics boards and other hot parts."""

from dataclasses import dataclass

from .component import Component
from .facts import fact

__all__ = ["FAMILIES", "Block", "overclocked"]

FAMILIES = ("processor", "graphics")


@dataclass(frozen=True, kw_only=True)
class Block(Component):
    """A block with its heat: R = resistance·(flow/reference_flow)^(−exponent).

    The resistance counts from the coolant at the block's inlet to the sensor in the part cooled, so it holds
    the paste and the part's lid. Valid near the reference flow (a third to three times). Source: the exponent
    is common practice for finned cold plates; resistance and drop are the maker's or the bench's.
    """

    usual_volume = 30e-6
    heat: float = fact("W", 0.0, 3000.0, meaning="heat the part gives off",
                       check="its sensor, or power at the wall")  # fmt: skip
    resistance: float = fact(
        "K/W", above=0.0, high=5.0, default=0.10, meaning="component above coolant inlet, a watt of heat",
        check="at a steady load: component less coolant inlet, over the load",
    )  # fmt: skip
    resistance_exponent: float = fact("1", 0.0, 1.0, default=0.3, meaning="how it falls with the flow")
    reference_drop: float = fact(
        "Pa", 0.0, 1e6, default=8000.0, meaning="pressure drop with water at the reference flow",
        check="two gauges, or the flow with and without the block",
    )  # fmt: skip
    limit: float | None = fact("degC", 20.0, 150.0, default=None, meaning="the part's highest temperature in use")
    cools: str | None = fact("text", FAMILIES, default=None, setting=True, meaning="what it cools")

    @property
    def family(self):
        """Which of FAMILIES it is, for what a workshop learns about its blocks; by its name when not said."""
        return self.cools or ("graphics" if "graphics" in self.name.lower() else "processor")

    def resistance_at(self, flow):
        """Thermal resistance [K/W] at a coolant flow [m³/s].

        >>> block = Block(name="processor", heat=100.0, resistance=0.10, reference_flow=1e-4)
        >>> round(block.resistance_at(2e-4), 4)
        0.0812
        """
        return self.resistance * (flow / self.reference_flow) ** -self.resistance_exponent


def overclocked(heat, frequency_ratio, voltage_ratio):
    """Estimated heat [W] of a part run at another clock and voltage: P = P₀·(f/f₀)·(V/V₀)².

    An estimate: dynamic power of CMOS logic alone, leakage left out. Valid for ratios 0.8 to 1.3. Source: any
    text on CMOS power, e.g. Weste & Harris, CMOS VLSI Design.

    >>> round(overclocked(120.0, 1.1, 1.05), 1)
    145.5
    """
    return heat * frequency_ratio * voltage_ratio**2
