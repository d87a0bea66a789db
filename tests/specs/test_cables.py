"""The cable book: no signed pin-out, no cut list; lengths with their allowance; wires rung through one by one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.checks.wire import CONNECTORS
from builds.specs.cable_book import book_of
from builds.specs.cables import Cable, PinOut
from builds.specs.cut_list import cut_list, faults, totals, wired
from builds.specs.models import SpecVersion
from builds.specs.sanity import findings_of, open_stops
from parts.workshop.refusal import Refused
from tests.factories import once

from .rows import machine

# A made-up supply: grounds on 1 to 3, 12 V on 4 and 5, doubled where the device has more pins.
MAP = {1: "4", 2: "5", 3: "5", 4: "1", 5: "1", 6: "2", 7: "2", 8: "3"}


def test_a_cut_list_has_a_wire_for_each_pin():
    wires = cut_list("graphics 2×4", MAP, 18, 600.0)
    assert [wire.length_mm for wire in wires] == [635.0] * 8, "35 mm are added to the routed length"
    assert [wire.doubled for wire in wires] == [False, True, True, True, True, True, True, False]
    assert [wire.colour for wire in wires[:5]] == ["yellow", "yellow", "yellow", "black", "black"]


def test_doubled_wires_share_a_terminal():
    added = totals([cut_list("graphics 2×4", MAP, 18, 600.0)])
    assert added.terminals == 8 + 5
    assert added.wire_m == {(18, "black"): 3.175, (18, "yellow"): 1.905}
    assert (added.sleeve_m, added.shrink_m, added.housings) == (4.8, 0.24, 2)


def test_a_map_that_shorts_or_lacks_a_pin_cannot_be_signed():
    assert faults("graphics 2×4", MAP) == {}
    assert faults("graphics 2×4", {**MAP, 4: ""}) == {4: "empty"}
    assert faults("graphics 2×4", {**MAP, 5: "4"}) == {5: "+12 V"}


def test_pins_that_carry_nothing_take_no_wire():
    assert len(wired("board 24")) == 23


@given(st.sampled_from(sorted(CONNECTORS)), st.floats(50, 2000), st.data())
def test_every_wire_is_counted_once(connector, routed, data):
    pins = {pin: data.draw(st.sampled_from("123456")) for pin, _signal in wired(connector)}
    wires = cut_list(connector, pins, 18, routed)
    added = totals([wires])
    assert len(wires) == len(pins)
    assert sum(added.wire_m.values()) == pytest.approx(len(pins) * (routed + 35) / 1000, abs=0.01)
    assert added.terminals == len(pins) + len(set(pins.values()))


@pytest.fixture
def spec(db):
    return machine(**{"graphics board": {"power_connectors": "2×4"}})


def role(spec, name):
    return spec.lines.get(role__name=name).role


def made(spec, owner, **values):
    said = {
        "name": "graphics cable", "supply": role(spec, "power supply"), "supply_connector": "graphics 2×4",
        "device": role(spec, "graphics board"), "device_connector": "graphics 2×4", "awg": 18, "routed_mm": 600.0,
    }  # fmt: skip
    return Cable(spec=spec).alter(owner, **{**said, **values})


def signed(spec, owner):
    part = spec.lines.get(role__name="power supply").part
    found = PinOut(part=part, supply_connector="graphics 2×4", device_connector="graphics 2×4")
    found.fill(MAP, owner)
    found.sign(owner)
    return found


def page(spec):
    return book_of(SpecVersion.objects.get(pk=spec.pk)).pages[0]


def address(spec, rest=""):
    return f"/jobs/J-{spec.job.number:04d}/cables/{rest}"


def test_without_a_signed_pin_out_there_is_no_cut_list(owner_client, owner, spec):
    made(spec, owner)
    assert [f.rule for f in open_stops(spec)] == ["cables"]
    assert page(spec).wires == []
    assert "pin-out not signed" in owner_client.get(address(spec)).text


def test_the_stop_is_the_cables_not_its_supplys(owner, spec):
    made(spec, owner)
    assert open_stops(spec)[0].roles == ("graphics cable",), "the supply must be ordered before it can be measured"


def test_a_map_is_filled_once_for_a_supply_and_signed(owner_client, owner, spec):
    cable = made(spec, owner)
    url = address(spec, f"{cable.pk}/pins/")
    rows = {f"pin_{pin}": there for pin, there in MAP.items()}
    half = owner_client.post(url, once(**{**rows, "pin_8": ""}, sign="1")).text
    assert "No pin at the supply is given yet for 8;" in half
    short = owner_client.post(url, once(**{**rows, "pin_5": "4"}, sign="1")).text
    assert "is said to carry +12 V and ground" in short
    assert not PinOut.objects.filter(signed_at__isnull=False).exists()
    owner_client.post(url, once(**rows, sign="1"))
    assert PinOut.objects.get().signed_by == owner
    assert len(page(spec).wires) == 8
    assert open_stops(SpecVersion.objects.get(pk=spec.pk)) == []


def test_another_map_wants_another_signature(owner, spec):
    found = signed(spec, owner)
    found.fill(MAP, owner)
    assert found.signed_at, "the same map again changes nothing"
    found.fill({**MAP, 8: "2"}, owner)
    assert found.signed_at is None


def test_another_supply_has_no_pin_out(owner, spec):
    made(spec, owner)
    signed(spec, owner)
    line = spec.lines.get(role__name="power supply")
    other = type(line.part).objects.create(kind="power_supply", name="another supply")
    spec.put(line.role, other, owner)
    assert not page(spec).signed


def test_wires_are_rung_through_one_by_one_and_forgotten_with_the_cable(helper_client, helper, owner, spec):
    cable = made(spec, owner)
    signed(spec, owner)
    url = address(spec, f"{cable.pk}/ring/")
    helper_client.post(url, once(pin=["1", "2"]))
    assert page(spec).left == 6
    assert page(spec).tested[1].person == helper
    helper_client.post(url, once(pin=["2", "3", "99"]))
    assert sorted(page(spec).tested) == [1, 2, 3]
    made_again = Cable.objects.get()
    values = {name: getattr(made_again, name) for name in ("name", "supply", "supply_connector", "device",
                                                           "device_connector", "awg")}  # fmt: skip
    made_again.alter(owner, **values, routed_mm=700.0)
    assert page(spec).tested == {}


def test_a_wire_rung_through_by_another_map_is_due_again(owner, spec):
    cable, found = made(spec, owner), signed(spec, owner)
    cable.ring_through(set(MAP), found, owner)
    assert page(spec).left == 0
    found.fill({**MAP, 8: "1"}, owner)
    found.sign(owner)
    assert [wire.pin for wire, test in page(spec).rows if test is None] == [8], "the other seven join the same pins"
    fresh = Cable.objects.get()
    fresh.ring_through({8}, page(spec).pin_out, owner)
    assert page(spec).left == 0


def test_wires_rung_through_on_another_supply_are_due_again(owner, spec):
    cable, found = made(spec, owner), signed(spec, owner)
    cable.ring_through(set(MAP), found, owner)
    line = spec.lines.get(role__name="power supply")
    other = type(line.part).objects.create(kind="power_supply", name="another supply")
    theirs = PinOut(part=other, supply_connector="graphics 2×4", device_connector="graphics 2×4")
    theirs.fill(MAP, owner)
    theirs.sign(owner)
    spec.put(line.role, other, owner)
    assert (page(spec).left, page(spec).tested) == (8, {}), "pin-outs differ between models, and so may their plugs"


def test_voltage_lost_is_on_the_page(owner, spec):
    made(spec, owner)
    signed(spec, owner)
    shown = page(spec)
    # the board draws 180 W, of which the slot feeds 75
    assert shown.watts == 105.0
    assert shown.drop_v == pytest.approx(105.0 / 36 * (2 * 0.635 * 0.020948 * 1.1179 + 0.02), rel=0.001)


def test_names_are_once_a_spec_and_a_bench_measures_a_frozen_one(owner, spec):
    made(spec, owner)
    with pytest.raises(Refused, match="already"):
        made(spec, owner, name="Graphics cable")
    spec.freeze(owner)
    made(spec, owner, name="second")
    assert spec.cables.count() == 2


def test_a_copy_of_the_spec_takes_its_cables_along(owner, spec):
    cable = made(spec, owner)
    signed(spec, owner)
    cable.ring_through({1}, page(spec).pin_out, owner)
    new = spec.copy(owner)
    assert [(c.name, c.tests.count()) for c in new.cables.all()] == [("graphics cable", 1)]
    assert spec.cables.count() == 1


def test_a_cable_is_added_and_changed_on_the_page(helper_client, owner, spec):
    said = {
        "name": "eps", "supply": role(spec, "power supply").pk, "supply_connector": "processor 2×4",
        "device": role(spec, "main board").pk, "device_connector": "processor 2×4", "routed_mm": "50 cm",
    }  # fmt: skip
    helper_client.post(address(spec), once(**said))
    cable = Cable.objects.get()
    assert (cable.routed_mm, cable.awg) == (500.0, None)
    text = helper_client.get(address(spec, f"{cable.pk}/")).text
    assert "wire gauge" in text
    helper_client.post(address(spec, f"{cable.pk}/"), once(**{**said, "awg": "18", "routed_mm": "520"}))
    cable.refresh_from_db()
    assert (cable.awg, cable.routed_mm) == (18, 520.0)
    bad = helper_client.post(address(spec, f"{cable.pk}/"), once(**{**said, "routed_mm": "5 W"})).text
    assert 'value="5 W"' in bad
    helper_client.post(address(spec, f"{cable.pk}/remove/"), once())
    assert not Cable.objects.exists()


def test_the_cut_sheet_is_a_pdf_that_names_supply_and_wires(helper_client, owner, spec, tmp_path):
    import subprocess

    made(spec, owner)
    signed(spec, owner)
    made(spec, owner, name="second", supply_connector="16-pin", device_connector="16-pin")
    answer = helper_client.get(address(spec, "sheet.pdf"))
    assert answer["Content-Type"] == "application/pdf"
    file = tmp_path / "sheet.pdf"
    file.write_bytes(answer.content)
    text = subprocess.run(["pdftotext", "-layout", str(file), "-"], capture_output=True, text=True, check=True).stdout
    assert "Cut each wire to 635 mm" in text
    assert "Saltmarsh power supply" in text
    assert "No cut list: the pin-out is not signed." in text


def test_the_book_costs_the_same_with_many_cables(owner, spec, django_assert_num_queries):
    signed(spec, owner)
    counts = []
    for n in range(4):
        made(spec, owner, name=f"cable {n}")
        from tests.counting import queries

        fresh = SpecVersion.objects.get(pk=spec.pk)
        counts.append(queries(lambda fresh=fresh: book_of(fresh)))
    assert len(set(counts[1:])) == 1


def test_findings_are_the_checks_own(owner, spec):
    made(spec, owner, device_connector="processor 2×4")
    said = [f.sentence for f in findings_of(SpecVersion.objects.get(pk=spec.pk)) if f.rule == "cables"]
    assert any("leads from a graphics 2×4 to a processor 2×4" in one for one in said)
