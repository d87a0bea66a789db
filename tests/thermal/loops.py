"""Loops for the tests: one plain loop, and any valid loop for hypothesis. All parts are invented."""

import os

from hypothesis import settings
from hypothesis import strategies as st

from thermal.block import Block
from thermal.component import Passive, Reservoir
from thermal.coolant import Coolant
from thermal.fan import Fans
from thermal.loop import Loop
from thermal.pump import Pump
from thermal.radiator import Radiator
from thermal.tubing import Tubing

LITRE_A_MINUTE = 1.0 / 60000.0


def pump(name="pump", **facts):
    return Pump(name=name, **{"max_flow": 16 * LITRE_A_MINUTE, "max_pressure": 45e3, "heat": 15.0} | facts)


def block(name="processor", **facts):
    return Block(name=name, **{"heat": 200.0, "resistance": 0.1, "limit": 90.0} | facts)


def radiator(name="front", fans=None, **facts):
    fans = Fans(**{"count": 3, "free_flow": 0.031, "max_pressure": 18.0, "sound_level": 24.0} | (fans or {}))
    given = {"sections": 3, "section_size": 0.12, "core_depth": 0.02, "fins_per_inch": 16.0, "grille_loss": 0.0}
    return Radiator(name=name, fans=fans, **given | facts)


def loop(*components, **facts):
    return Loop(components=components or (pump(), block(), radiator()), **{"room_temperature": 22.0} | facts)


def examples(count):
    """Hypothesis settings; LOOPWRIGHT_EXAMPLES asks for more examples than the usual run."""
    return settings(max_examples=max(count, int(os.environ.get("LOOPWRIGHT_EXAMPLES", "0"))), deadline=None)


def _between(low, high):
    return st.floats(low, high, allow_nan=False)


_SIDES = st.sampled_from(["room", "case"])


@st.composite
def radiators(draw, name, draws_from=_SIDES, blows_to=_SIDES):
    sections, layers = draw(st.integers(1, 4)), draw(st.integers(1, 2))
    return radiator(
        name,
        fans={
            "count": sections * layers,
            "free_flow": draw(_between(0.01, 0.06)),
            "max_pressure": draw(_between(8.0, 60.0)),
        },
        sections=sections,
        section_size=draw(st.sampled_from([0.092, 0.12, 0.14])),
        core_depth=draw(_between(0.015, 0.07)),
        fins_per_inch=draw(_between(7.0, 30.0)),
        grille_loss=draw(_between(0.0, 4.0)),
        passes=draw(st.integers(1, 2)),
        fan_speed=draw(_between(0.3, 1.5)),
        layers=layers,
        draws_from=draw(draws_from),
        blows_to=draw(blows_to),
        reference_drop=draw(_between(0.0, 8e3)),
    )


@st.composite
def loops(draw, draws_from=_SIDES, blows_to=_SIDES):
    """Any valid loop of up to two pumps, three blocks and three radiators, in any order."""
    parts = [
        pump(f"pump {i}", speed=draw(_between(0.4, 1.0)), max_pressure=draw(_between(15e3, 60e3)))
        for i in range(draw(st.integers(1, 2)))
    ]
    parts += [
        block(f"block {i}", heat=draw(_between(0.0, 250.0)), reference_drop=draw(_between(0.0, 2e4)))
        for i in range(draw(st.integers(1, 3)))
    ]
    parts += [draw(radiators(f"radiator {i}", draws_from, blows_to)) for i in range(draw(st.integers(1, 3)))]
    parts += draw(st.sampled_from([[], [Reservoir(name="reservoir")], [Passive(name="valve")]]))
    fluid = draw(st.sampled_from(["water", "ethylene glycol", "propylene glycol"]))
    return Loop(
        components=draw(st.permutations(parts)),
        room_temperature=draw(_between(15.0, 32.0)),
        air_pressure=draw(_between(75e3, 104e3)),
        coolant=Coolant(fluid, draw(_between(0.0, 0.5))),
        tubing=Tubing(length=draw(_between(0.5, 4.0)), bore=draw(_between(0.006, 0.013))),
        case_heat=draw(_between(0.0, 60.0)),
        case_air_flow=draw(_between(0.01, 0.1)),
    )
