"""A loop as a document, in and out."""

import copy
import json
from pathlib import Path

import pytest

from tests.thermal.loops import loop, pump, radiator
from thermal.document import load_loop, read_loop, write_loop, write_result
from thermal.faults import LoopFault
from thermal.loop import solve

FOLDER = Path(__file__).parents[2] / "fixtures" / "loops"
DOCUMENT = json.loads((FOLDER / "one-radiator.json").read_text())


def changed(*path, to):
    """The document with one thing changed (to=... deletes it)."""
    document = copy.deepcopy(DOCUMENT)
    place = document
    for step in path[:-1]:
        place = place[step]
    if to is ...:
        del place[path[-1]]
    else:
        place[path[-1]] = to
    return document


def faults(document):
    with pytest.raises(LoopFault) as refusal:
        read_loop(document)
    return [str(fault) for fault in refusal.value.each()]


def test_quantities_come_with_units_or_in_si():
    loop = read_loop(DOCUMENT)
    front, processor = loop.radiators[0], loop.blocks[0]
    assert loop.room_temperature == 22.0
    assert processor.reference_flow == pytest.approx(3.8 / 60000)
    assert front.section_size == pytest.approx(0.12)
    assert front.fans.free_flow == 0.031
    assert loop.tubing.bore == pytest.approx(0.01)
    plain = changed("components", 3, "fans", "free_flow", to=0.031)
    assert read_loop(plain).radiators[0].fans.free_flow == 0.031
    typed = changed("components", 3, "fans", "free_flow", to="65,7 CFM")
    assert read_loop(typed).radiators[0].fans.free_flow == pytest.approx(0.0310069, rel=1e-5)


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.json")), ids=lambda path: path.stem)
def test_what_is_written_reads_back_the_same(path):
    loop = load_loop(path)
    again = read_loop(json.loads(json.dumps(write_loop(loop))))
    assert again.components == loop.components
    assert again.tubing == loop.tubing
    assert again.coolant == loop.coolant
    assert again.room_temperature == loop.room_temperature
    assert solve(again).mean == solve(loop).mean


def test_assumptions_are_listed_with_how_to_measure_them():
    loop = read_loop(changed("components", 1, "resistance", to=...))
    assumed = {(one.part, one.fact): one for one in loop.assumed}
    assert assumed["processor", "resistance"].value == 0.10
    assert assumed["front", "fin_height"].unit == "m"
    assert "coolant inlet" in assumed["processor", "resistance"].check
    assert ("graphics", "resistance") not in assumed
    assert ("front", "fan_speed") not in assumed


def test_a_core_depth_from_the_thickness_is_an_assumption():
    document = changed("components", 3, "core_depth", to=...)
    document["components"][3]["thickness"] = "30 mm"
    loop = read_loop(document)
    assert loop.radiators[0].depth == pytest.approx(0.018)
    assert [one.value for one in loop.assumed if one.fact == "core_depth"] == [pytest.approx(0.018)]


def test_a_measured_curve():
    document = changed(
        "components", 3, "fans", to={"count": 3, "curve": [["0 m3/h", "20 Pa"], [0.015, "1.2 mmH2O"], ["110 m³/h", 0]]}
    )
    fans = read_loop(document).radiators[0].fans
    assert fans.free_flow == pytest.approx(110 / 3600)
    assert fans.pressure(0.015) == pytest.approx(1.2 * 9.80665)


def test_the_result_has_the_promised_keys():
    written = write_result(solve(read_loop(DOCUMENT)))
    assert list(written) == [
        "flow", "coolant", "nodes", "case_air", "components", "radiators", "sound_level", "energy_residual",
        "converged",
    ]  # fmt: skip
    assert list(written["coolant"]) == ["mean", "min", "max"]
    assert len(written["nodes"]) == 4
    assert [one["name"] for one in written["components"]] == ["processor", "graphics"]
    assert list(written["radiators"][0]) == ["name", "heat", "air_flow", "air_pressure_drop", "ua", "conductance"]
    assert written["converged"] is True
    assert json.loads(json.dumps(written, allow_nan=False)) == written


@pytest.mark.parametrize(
    ("document", "line"),
    [
        (changed("room_temperature", to=...), "room_temperature: is missing"),
        (changed("room_temperature", to="22 W"), "room_temperature: “22 W” is a power, not a temperature. Type for"),
        (changed("room_temperature", to=float("nan")), "room_temperature: “nan” is not a number that can be used"),
        (changed("components", 3, "core_depth", to="-20 mm"), "front.core_depth: “-20 mm” is too low: at least"),
        (changed("components", 3, "fans", "max_pressure", to="0 Pa"), "front.fans.max_pressure: 0 Pa is too low"),
        (changed("components", 3, "fans", to=...), "front.fans: are missing"),
        (changed("components", 3, "fans", "count", to=2.5), "front.fans.count: “2.5” is not a whole number"),
        (changed("components", 3, "fans", "curve", to=[[1, 2, 3]]), "front.fans.curve[0]: must be a pair"),
        (changed("components", 3, "fans", "curve", to="x"), "front.fans.curve[0]: must be a pair"),
        (changed("components", 3, "draws_from", to="attic"), "front.draws_from: “attic” is not one of room, case"),
        (
            changed("components", 3, "core_dept", to="20 mm"),
            "front.core_dept: is not known here; did you mean core_depth",
        ),
        (changed("components", 0, "kind", to="engine"), "pump.kind: “engine” is not one of pump, block"),
        (changed("components", 0, "name", to=""), "components[0].name: is missing"),
        (changed("components", 0, "max_flow", to=...), "pump.max_flow: is missing"),
        (changed("components", 1, "heat", to=...), "processor.heat: is missing"),
        (changed("components", 2, "name", to="processor"), "components: “processor” is there 2 times"),
        (changed("components", 2, to="graphics"), "components[2]: must be an object"),
        (changed("components", to=...), "components: must be a list"),
        (changed("components", to=[]), "components: there is no pump"),
        (changed("coolant", to="water"), "coolant: must be an object"),
        (changed("coolant", "fluid", to="alcohol"), "coolant.fluid: “alcohol” is not one of water, ethylene glycol"),
        (changed("coolant", "mass_fraction", to="70 %"), "coolant.mass_fraction: “70 %” is too high: at most 0.5"),
        (changed("tubing", "bore", to="0 mm"), "tubing.bore: “0 mm” is too low"),
        (changed("components", 0, "speed", to=0), "pump.speed: the flow cannot start"),
        (changed("altitude", to="600 m"), "altitude: stands beside air_pressure; give one of the two."),
        (changed("altitude", to="9 km"), "altitude: “9 km” is too high: at most 5000 m"),
        (changed("pressure", to="1 bar"), "pressure: is not known here; did you mean air_pressure?"),
        ([], "document: must be an object"),
    ],
)
def test_a_fault_names_the_field(document, line):
    assert any(fault.startswith(line) for fault in faults(document)), faults(document)


def test_all_faults_of_a_document_are_found_at_once():
    document = changed("room_temperature", to="warm")
    document["components"][0]["heat"] = "-1 W"
    document["components"][3]["fans"]["free_flow"] = "lots"
    fields = [fault.split(":")[0] for fault in faults(document)]
    assert fields == ["room_temperature", "pump.heat", "front.fans.free_flow"]


@pytest.mark.parametrize(
    ("content", "line"),
    [
        (b"", "is not JSON at line 1"),
        (b'{"components": [}', "is not JSON at line 1, column 17"),
        (b"\xff\xfe\x00", "is not text in UTF-8"),
        (b'{"case_heat": 1, "case_heat": 2}', "stands there twice"),
        (b"[" * 200_000, "nested too deeply"),
        (b" " * 2_000_001, "is too large"),
        (b"[1, 2]", "must be an object"),
    ],
)
def test_a_file_that_is_no_loop(tmp_path, content, line):
    path = tmp_path / "loop.json"
    path.write_bytes(content)
    with pytest.raises(LoopFault, match=line):
        load_loop(path)


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(LoopFault, match="file: cannot be read"):
        load_loop(tmp_path / "none.json")


def test_a_document_may_name_the_fluid_in_any_spelling():
    assert read_loop(changed("coolant", "fluid", to="Propylene_Glycol")).coolant.fluid == "propylene glycol"


def test_an_altitude_stands_for_the_barometer():
    """ISO 2533: 89 875 Pa at 1000 m."""
    document = changed("air_pressure", to=...) | {"altitude": "1000 m"}
    assert read_loop(document).air_pressure == pytest.approx(89875.0, rel=1e-4)


def test_a_written_curve_keeps_its_points():
    curve = ((0.0, 20.0), (0.01, 15.0), (0.03, 0.0))
    document = write_loop(loop(pump(), radiator(fans={"curve": curve})))
    assert read_loop(document).radiators[0].fans.curve == curve
