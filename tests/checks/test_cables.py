"""Cables. Wire: ASTM B258 diameters; Ω/1000 ft of Floyd, Electric Circuit Fundamentals (hyperphysics wire table);
limits: 2×3 75 W, 2×4 150 W, 16-pin 600 W and 9.2 A a pin (ATX 3.0 multi-rail design guide, doc. 336521)."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.checks.cable_wires import load_w
from builds.checks.cables import check
from builds.checks.facts import BuildFacts, CableFacts
from builds.checks.wire import CONNECTORS, carries_a, diameter_mm, drop_v, ohm_per_m

from .trade import cautions, part, stops


@pytest.mark.parametrize(
    ("awg", "mm", "milliohm", "per_1000_ft", "chassis"),
    [(16, 1.2908, 13.174, 4.016, 22), (18, 1.0237, 20.948, 6.385, 16), (20, 0.8118, 33.308, 10.15, 11),
     (22, 0.6438, 52.962, 16.14, 7), (24, 0.5106, 84.213, 25.67, 3.5)],
)  # fmt: skip
def test_wire_is_the_tables(awg, mm, milliohm, per_1000_ft, chassis):
    assert diameter_mm(awg) == pytest.approx(mm, abs=5e-5)
    assert 1000 * ohm_per_m(awg) == pytest.approx(milliohm, rel=0.001)
    assert ohm_per_m(awg) * 304.8 == pytest.approx(per_1000_ft, rel=0.001)
    assert carries_a(awg) == chassis / 2, "half of the handbook's chassis value in a bundle: common practice"


@pytest.mark.parametrize(("awg", "ampere", "volt"), [(18, 4.167, 0.1047), (18, 8.333, 0.2095), (22, 8.333, 0.530)])
def test_voltage_lost_there_and_back(awg, ampere, volt):
    assert drop_v(awg, 600, ampere, celsius=20.0, contacts=0) == pytest.approx(volt, rel=0.002)


@pytest.mark.parametrize(("key", "ampere"), [("16-pin", 8.333), ("graphics 2×4", 4.167), ("graphics 2×3", 2.083)])
def test_amperes_a_pin(key, ampere):
    plug = CONNECTORS[key]
    assert plug.limit_w / 12 / plug.feeding == pytest.approx(ampere, abs=0.001)
    assert ampere <= plug.pin_a


def test_every_connector_has_as_many_pins_as_its_name_says():
    assert {key: len(one.pins) for key, one in CONNECTORS.items()} == {
        "board 24": 24, "processor 2×2": 4, "processor 2×4": 8, "graphics 2×3": 6, "graphics 2×4": 8, "16-pin": 16,
        "drive": 5, "disk 4": 4,
    }  # fmt: skip


def machine(heat=225.0, connectors="2×4", ours="graphics 2×4", theirs="graphics 2×4", **cable):
    facts = {"awg": 18, "length_mm": 600.0, "signed": True, **cable}
    made = CableFacts("graphics cable", "power_supply", ours, "graphics", theirs, **facts)
    board = part("graphics", heat=heat, power_connectors=connectors)
    lines = (part("power_supply"), board, part("processor", heat=120.0), part("board"))
    return BuildFacts(lines=lines, cables=(made,))


SIXTEEN = {"ours": "16-pin", "theirs": "16-pin", "connectors": "16-pin", "awg": 16, "bend_mm": 40.0, "sense_w": 450.0}


def test_a_sound_cable_passes():
    assert check(machine()) == []
    assert check(machine(heat=400.0, **SIXTEEN)) == []


def test_a_pin_out_that_nobody_signed_stops():
    assert "nobody has signed the pin-out" in stops(check(machine(signed=False)))[0]


@pytest.mark.parametrize(
    ("ours", "theirs", "why"),
    [("processor 2×4", "graphics 2×4", "other way round"), ("graphics 2×4", "processor 2×4", "other way round"),
     ("drive", "graphics 2×3", "drive plugs overheat"), ("disk 4", "graphics 2×4", "drive plugs overheat"),
     ("drive", "board 24", "the supply's connector for this device")],
)  # fmt: skip
def test_plugs_of_other_families_stop(ours, theirs, why):
    found = check(machine(ours=ours, theirs=theirs))
    assert f"leads from a {ours} to a {theirs}" in stops(found)[0]
    assert why in found[0].action


def test_a_16_pin_cable_bends_late_is_thick_and_announces_enough():
    assert "bends 20 mm behind" in stops(check(machine(**{**SIXTEEN, "bend_mm": 20.0})))[0]
    assert "AWG 18; a 16-pin plug wants AWG 16" in stops(check(machine(**{**SIXTEEN, "awg": 18})))[0]
    low = check(machine(heat=450.0, **{**SIXTEEN, "sense_w": 300.0}))
    assert "announces 300 W; the board wants 450 W" in stops(low)[0]


def test_a_long_thin_cable_loses_too_much():
    # 4.167 A × (2.4 m × 20.948 mΩ/m × 1.1179 + 4 × 5 mΩ) = 0.318 V
    assert "loses 2.6 % of 12 V" in cautions(check(machine(length_mm=1200.0)))[0]
    assert stops(check(machine(awg=22, length_mm=1500.0)))


def test_too_much_for_the_wire_stops():
    assert "more than AWG 24 carries in a bundle" in stops(check(machine(awg=24, length_mm=100.0)))[0]
    assert "no gauge this check knows" in cautions(check(machine(awg=19)))[0]


def test_what_is_not_known_is_said():
    assert "wire gauge, routed length" in cautions(check(machine(awg=None, length_mm=None)))[0]
    sixteen = " ".join(cautions(check(machine(**{**SIXTEEN, "bend_mm": None, "sense_w": None}))))
    assert "how far behind the 16-pin plug" in sixteen
    assert "sense rating is not known" in sixteen
    assert "connectors are not known" in cautions(check(machine(ours="odd")))[0]


def test_the_load_is_the_devices_own():
    facts = machine(heat=225.0)
    assert load_w(facts, facts.cables[0]) == (150.0, True)
    facts = machine(ours="processor 2×4", theirs="processor 2×4")
    assert load_w(facts, facts.cables[0]) == (120.0, True)


@given(st.sampled_from([16, 18, 20, 22, 24]), st.floats(50, 3000), st.floats(1, 2000))
def test_a_longer_cable_never_loses_less(awg, length, longer):
    one, other = (check(machine(awg=awg, length_mm=mm)) for mm in (length, length + longer))
    assert len(stops(one)) <= len(stops(other))


@given(st.sampled_from(sorted(CONNECTORS)), st.sampled_from(["graphics", "board", "processor"]))
def test_a_plug_without_a_socket_at_the_device_never_passes(key, device):
    facts = machine(ours=key, theirs=key, awg=16, bend_mm=40.0, sense_w=600.0)
    found = check(replace(facts, cables=(replace(facts.cables[0], device=device),)))
    belongs = {"graphics": {"graphics 2×4"}, "board": {"board 24", "processor 2×2", "processor 2×4"},
               "processor": {"processor 2×2", "processor 2×4"}}[device]  # fmt: skip
    wrong = [f for f in found if "does not belong" in f.sentence or "no such socket" in f.sentence]
    assert bool(wrong) == (key not in belongs)
    assert device == "board" or all(f.severity == "stop" for f in wrong)
