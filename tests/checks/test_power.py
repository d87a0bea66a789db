"""Connector limits: 2×3 75 W, 2×4 150 W, 16-pin 600 W at no more than 9.2 A a pin (ATX 3.0 multi-rail desktop power
supply design guide, document 336521, table 3-5 and section 5.2.2.4); slot 75 W from memory."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.checks.power import CONNECTOR_W, check, connectors, loads

from .trade import build, cautions, missing, part, stops

SUPPLY = {"rated_power": 850.0, "pcie_2x4": 4.0, "pcie_16": 1.0, "eps": 2.0}


def machine(heat=300.0, plugs="16-pin", supply=SUPPLY, eps=1.0):
    return build(
        part("power_supply", **supply), part("processor", heat=150.0), part("board", heat=40.0, power_connectors=eps),
        part("graphics", heat=heat, power_connectors=plugs), part("fan", quantity=6, current=0.1),
    )  # fmt: skip


def test_connector_limits_are_the_guides():
    assert CONNECTOR_W == {"2×3": 75.0, "2×4": 150.0, "16-pin": 600.0}
    assert CONNECTOR_W["16-pin"] / 12 / 6 == pytest.approx(8.333, abs=1e-3)
    assert CONNECTOR_W["16-pin"] / 12 / 6 <= 9.2


def test_a_strong_supply_passes():
    assert check(machine()) == []


def test_a_board_that_the_slot_feeds_alone_has_no_connector():
    assert check(machine(heat=70.0, plugs="none", supply={**SUPPLY, "pcie_2x4": 0.0})) == []
    assert "slot and connectors feed 75 W" in stops(check(machine(heat=90.0, plugs="none")))[0]


def test_the_sum_counts_every_part():
    watts, unknown = loads(machine())
    assert not unknown
    assert sum(watts.values()) == pytest.approx(150 + 40 + 300 + 6 * 0.1 * 12)


def test_a_weak_supply_stops():
    assert "draw 497 W at full work" in stops(check(machine(supply={**SUPPLY, "rated_power": 450.0})))[0]


def test_peaks_of_the_graphics_board_are_a_caution():
    found = check(machine(supply={**SUPPLY, "rated_power": 550.0}))
    assert not stops(found)
    assert "647 W" in cautions(found)[0]


def test_a_board_fed_beyond_its_connectors_stops():
    assert stops(check(machine(heat=300.0, plugs="2×4"))) == [
        "the graphics draws 300 W; slot and connectors feed 225 W."
    ]
    assert check(machine(heat=300.0, plugs="2×4, 8-pin")) == []


def test_the_supply_has_a_place_for_each_connector():
    assert "0 16-pin graphics connectors" in stops(check(machine(supply={**SUPPLY, "pcie_16": 0.0})))[0]
    assert "many boards" in check(machine(eps=2.0, supply={**SUPPLY, "eps": 1.0}))[0].action.casefold()


def test_connectors_are_read_as_people_write_them():
    assert dict(connectors(["2x4", "8-pin", "6-pin", "16-pin"])) == {"2×4": 2, "2×3": 1, "16-pin": 1}
    assert "not all ones this check knows" in cautions(check(machine(plugs="barrel jack")))[0]


def test_what_is_not_known_is_asked_for():
    lines = [part("power_supply"), part("processor"), part("graphics", power_connectors="2×4"), part("fan")]
    asked = missing(check(build(*lines)))
    assert asked["the processor"] == "heat"
    assert asked["the fan"] == "current"
    assert asked["the power_supply"] in {"rated_power", "pcie_2x4"}


def test_no_supply_is_said():
    assert "no power supply" in cautions(check(build(part("processor", heat=100.0))))[0]
    assert check(build(part("radiator"))) == []


@given(st.floats(50, 1500), st.floats(0, 500), st.floats(50, 2000))
def test_more_load_never_makes_a_supply_stronger(heat, more, rated):
    supply = {**SUPPLY, "rated_power": rated}
    one, other = (check(machine(heat=watts, supply=supply)) for watts in (heat, heat + more))
    assert len(stops(one)) <= len(stops(other))
    assert any("at full work" in said for said in stops(one)) == (heat + 150 + 40 + 7.2 > rated)


@given(st.integers(0, 4), st.integers(0, 4), st.integers(0, 3))
def test_one_more_plug_never_finds_one_more_place(places, plugs, more):
    supply = {**SUPPLY, "pcie_2x4": float(places)}
    one, other = (check(machine(heat=60.0, plugs=", ".join(["2×4"] * n) or "none", supply=supply))
                  for n in (plugs, plugs + more))  # fmt: skip
    assert len(stops(one)) <= len(stops(other))
    assert any("graphics connectors" in said for said in stops(one)) == (plugs > places)
