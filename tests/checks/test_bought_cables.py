"""Bought cables. That pin-outs differ between supplies is common practice; wire: ASTM B258; limits: ATX 3.0 multi-rail
design guide (doc. 336521): 2×3 75 W, 2×4 150 W, 16-pin 600 W, AWG 16 at least and 9.2 A a pin."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.checks.bought_cables import check, ends_of, plugs_of
from builds.checks.facts import BuildFacts
from builds.checks.wire import CONNECTORS, connector_named

from .trade import cautions, missing, notes, part, stops

PLAIN = {"length": 600.0, "gauge": 18.0, "connectors": "graphics 2×4, graphics 2×4", "cable_sets": "C-3, C-4"}
SIXTEEN = {"connectors": "16-pin, 16-pin", "gauge": 16.0, "sense": 450.0}


def machine(heat=225.0, wants="2×4", fed_from="power_supply", feeds="graphics", cable_set="C-3", quantity=1.0, **cable):
    known = {name: value for name, value in {**PLAIN, **cable}.items() if value is not None}
    line = replace(part("cable", quantity=quantity, **known), fed_from=fed_from, feeds=feeds)
    supply = part("power_supply", **({"cable_set": cable_set} if cable_set else {}))
    board = part("graphics", heat=heat, power_connectors=wants)
    return BuildFacts(lines=(supply, board, part("processor", heat=120.0), part("board"), line))


def test_a_cable_of_the_supplys_set_passes():
    assert check(machine()) == []
    assert not stops(check(machine(heat=400.0, wants="16-pin", **SIXTEEN)))
    assert not cautions(check(machine(heat=400.0, wants="16-pin", **SIXTEEN)))


def test_a_cable_of_another_set_stops_and_an_extension_does_not():
    found = check(machine(cable_set="B-1"))
    assert stops(found) == ["the cable belongs to cable set C-3, C-4; the power_supply has set B-1."]
    assert "kills hardware" in found[0].action
    assert found[0].roles == ("cable",), "the cable is not ordered; its supply is"
    assert check(machine(cable_set=None, cable_sets="Extension")) == []


@pytest.mark.parametrize(
    ("connectors", "feeds", "why"),
    [("processor 2×4, graphics 2×4", "graphics", "other way round"), ("drive, graphics 2×3", "graphics", "overheat"),
     ("graphics 2×4, EPS", "board", "other way round"), ("disk 4, 24-pin", "board", "supply's connector")],
)  # fmt: skip
def test_plugs_of_other_families_stop(connectors, feeds, why):
    found = check(machine(connectors=connectors, feeds=feeds))
    assert "leads from a" in stops(found)[0]
    assert why in found[0].action


def test_a_16_pin_cable_is_thick_and_announces_enough():
    hot = {"heat": 450.0, "wants": "16-pin", **SIXTEEN}
    assert "AWG 18; a 16-pin plug wants AWG 16" in stops(check(machine(**{**hot, "gauge": 18.0})))[0]
    assert "announces 300 W; the board wants 450 W" in stops(check(machine(**{**hot, "sense": 300.0})))[0]
    assert "35 mm behind its 16-pin plug" in notes(check(machine(**hot)))[0], "the bend is measured on the bench"


def test_thin_or_long_wire_is_found():
    assert "more than AWG 24 carries in a bundle" in stops(check(machine(gauge=24.0, length=100.0)))[0]
    assert "loses 2.6 % of 12 V" in cautions(check(machine(length=1235.0 - 35.0)))[0]
    assert "no gauge this check knows" in cautions(check(machine(gauge=19.0)))[0]


def test_two_plugs_on_one_connector_of_the_supply_carry_both_loads():
    # 2 × 150 W ÷ 12 V ÷ 3 pins = 8.33 A, over the 8 A that a pin bears
    both = {"connectors": "graphics 2×4, graphics 2×4, graphics 2×4", "wants": "2×4, 2×4"}
    assert "8.3 A a pin from one connector of the supply; 8 A are allowed" in stops(check(machine(375.0, **both)))[0]
    assert check(machine(heat=300.0, **both)) == []


def test_what_is_not_known_is_asked_for():
    bare = {"length": None, "gauge": None, "connectors": None, "cable_sets": None}
    assert missing(check(machine(**bare))) == {"the cable": "connectors, gauge, length"}
    found = check(machine(cable_set=None, cable_sets=None))
    assert missing(found) == {"the cable": "cable_sets", "the power_supply": "cable_set"}
    assert missing(check(machine(wants="16-pin", **{**SIXTEEN, "sense": None}))) == {"the cable": "sense"}
    assert "not said which supply feeds" in notes(check(machine(fed_from="", feeds="")))[0]


def test_an_8_pin_plug_that_may_be_either_is_asked_about():
    assert "may be a processor's or a graphics board's" in cautions(check(machine(connectors="2×4, 2×4")))[0]
    assert "not all ones this check knows" in cautions(check(machine(connectors="round, graphics 2×4")))[0]
    assert "not all ones" in cautions(check(machine(connectors="16-pin")))[0], "the other end is not said"


def test_a_fans_or_data_cable_has_nothing_to_check():
    assert check(machine(connectors="fan 4-pin, fan 4-pin", gauge=None, feeds="", cable_sets=None)) == []


@pytest.mark.parametrize("key", CONNECTORS)
def test_every_connector_can_be_written(key):
    assert connector_named(key) == key
    assert connector_named(key.upper().replace("×", "x")) == key


def test_each_piece_has_a_plug_at_the_device():
    line = machine(quantity=2.0).lines[-1]
    assert ends_of(line) == ["graphics 2×4", "graphics 2×4"]
    assert [cable.awg for cable in plugs_of(line)] == [18, 18]


@given(st.sampled_from([16.0, 18.0, 20.0, 22.0, 24.0]), st.floats(50, 3000), st.floats(1, 2000), st.floats(50, 500))
def test_a_longer_cable_never_gets_safer(gauge, length, longer, heat):
    one, other = (check(machine(heat, gauge=gauge, length=mm)) for mm in (length, length + longer))
    assert len(stops(one)) <= len(stops(other))


@given(st.sampled_from(sorted(CONNECTORS)), st.sampled_from(sorted(CONNECTORS)))
def test_plugs_that_do_not_belong_together_never_pass(ours, theirs):
    families = {CONNECTORS[ours].family, CONNECTORS[theirs].family}
    sound = len(families) == 1 or families == {"graphics", "graphics 16"}
    found = check(machine(connectors=f"{ours}, {theirs}", feeds="graphics", gauge=16.0, sense=600.0))
    assert any("leads from a" in said for said in stops(found)) != sound, "whatever socket the device has"


@given(st.sampled_from(sorted(CONNECTORS)), st.sampled_from(["graphics", "board", "processor"]))
def test_a_plug_without_a_socket_at_the_device_never_passes(key, device):
    found = check(machine(connectors=f"{key}, {key}", feeds=device, gauge=16.0, sense=600.0))
    belongs = {"graphics": {"graphics 2×4"}, "board": {"board 24", "processor 2×2", "processor 2×4"},
               "processor": {"processor 2×2", "processor 2×4"}}[device]  # fmt: skip
    wrong = [f for f in found if "does not belong" in f.sentence or "no such socket" in f.sentence]
    assert bool(wrong) == (key not in belongs)
    assert device == "board" or all(f.severity == "stop" for f in wrong)
