"""What every part in the coolant's path has: a name and a pressure drop."""

from dataclasses import dataclass

from .facts import check_facts, fact

__all__ = ["DROP_EXPONENT", "Component", "Passive", "Reservoir"]

DROP_EXPONENT = 1.75  # turbulent flow in smooth passages (Blasius)


@dataclass(frozen=True, kw_only=True)
class Component:
    """A part the coolant passes: Δp = reference_drop·(flow/reference_flow)^1.75, declared with water."""

    name: str
    reference_flow: float = fact(
        "m3/s", 1e-6, 0.01, default=3.8 / 60000, meaning="coolant flow at which the drop is declared"
    )
    reference_drop: float = fact(
        "Pa", 0.0, 1e6, default=1000.0, meaning="pressure drop with water at that flow",
        check="two gauges, or the flow with and without the part",
    )  # fmt: skip
    volume: float | None = fact(
        "m3", 0.0, 0.01, default=None, meaning="coolant it holds", check="weigh it dry and filled"
    )
    heat = 0.0  # W given to the coolant
    usual_volume = 10e-6  # m³, typical, when the volume is not known

    @property
    def holds(self):
        """Coolant in it [m³], declared or typical."""
        return self.usual_volume if self.volume is None else self.volume

    def __post_init__(self):
        check_facts(self, f"{self.name}.")

    @property
    def drop_coefficient(self):
        """Δp/flow^1.75 [Pa/(m³/s)^1.75] with water."""
        return self.reference_drop / self.reference_flow**DROP_EXPONENT

    def pressure_drop(self, flow):
        """Pressure drop [Pa] with water at a flow [m³/s].

        >>> part = Passive(name="filter", reference_flow=1e-4, reference_drop=2000.0)
        >>> round(part.pressure_drop(2e-4))
        6727
        """
        return self.drop_coefficient * flow**DROP_EXPONENT


@dataclass(frozen=True, kw_only=True)
class Passive(Component):
    """A part that only resists: a valve, a filter, a flow meter, a quick coupling."""


@dataclass(frozen=True, kw_only=True)
class Reservoir(Component):
    """Where the loop is filled and air leaves it."""

    usual_volume = 250e-6

    reference_drop: float = fact(
        "Pa", 0.0, 1e6, default=500.0, meaning="pressure drop with water at the reference flow"
    )
