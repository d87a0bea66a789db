"""Every rule of the design's table against one sound machine: content with it, stopped by one wrong thing, and never
content with a fact that is not known. The sources stand in each rule and in the tests of its own file."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builds.checks.facts import Known
from builds.checks.findings import CAUTION, NOTE, STOP
from builds.checks.registry import ALL, run
from parts.kinds import get_kind

from .sound import LINES, altered, machine

THICK = altered("front radiator", thickness=60.0)
HOT = replace(machine(altered("graphics", heat=1500.0)), room_c=45.0)
# rule: (what is wrong, how much that weighs, a fact without which it is not checked: (role, name) or None).
# A caution or note is the most that the design lets these say; None: the rule rests on no fact of a part.
TABLE = {
    "board design": (machine(altered("graphics", board_design="M9")), STOP, ("graphics", "board_design")),
    "socket": (machine(altered("processor", socket="T-6")), STOP, ("board", "socket")),
    "form factor": (machine(altered("case", board_sizes="Mini-ITX")), STOP, ("board", "size")),
    "stack": (machine(THICK), STOP, ("case", "front_depth")),
    "fan pattern": (machine(altered("fan", size=140.0)), STOP, ("fan", "size")),
    "tube": (machine(altered("tube", outside=16.0)), STOP, ("tube", "outside")),
    "metals": (machine(altered("graphics block", wetted_metals="aluminium")), STOP, ("drain", "wetted_metals")),
    "plastics": (machine(altered("reservoir", wetted_plastics="acrylic cast")), CAUTION, ("tube", "material")),
    "power": (machine(altered("supply", rated_power=300.0)), STOP, ("board", "power_connectors")),
    "graphics length": (machine(altered("graphics", length=420.0)), STOP, ("case", "graphics_length")),
    "memory": (machine(altered("memory", memory_type="DDR4")), STOP, ("memory", "modules")),
    "drives": (machine(altered("drive", height=15.0)), STOP, ("case", "drive_height")),
    "corners": (machine(altered("memory block", height=75.0) | altered("case", board_gap=40.0)), STOP,
                ("case", "board_gap")),
    "screws": (machine(altered("screws", screw_length=35.0)), STOP, ("front radiator", "screw_depth")),
    "threads": (machine(altered("screws", screw_thread="6-32")), STOP, ("screws", "screw_thread")),
    "ports": (machine(altered("fittings", diameter=45.0)), STOP, ("pump", "port_spacing")),
    "bends": (machine(altered("tube", bend_radius=250.0)), STOP, ("tube", "bend_radius")),
    "flow direction": (machine(altered("fittings", thread_length=9.0)), STOP, ("graphics block", "inlet_marked")),
    "fill": (machine(highest="pump"), STOP, ("reservoir", "top_inlet")),
    "take-off": (machine(lines={"tube": replace(LINES["tube"], quantity=1.0)}), CAUTION, ("pump", "ports")),
    "cable take-off": (machine(lines={"wire": replace(LINES["wire"], quantity=1.0)}), CAUTION, ("wire", "gauge")),
    "headers": (machine(altered("fan", current=0.9)), STOP, ("board", "fan_headers")),
    "cables": (machine(cable={"supply_connector": "drive"}), STOP, None),
    "bought cables": (machine(altered("supply", cable_set="B-1")), STOP, ("supply", "cable_set")),
    "air around": (machine(altered("pump", speed_signal=0.0)), CAUTION, ("pump", "speed_signal")),
    "withdrawn": (machine({"pump": replace(LINES["pump"], withdrawn=True)}), CAUTION, None),
    "heat and flow": (machine(altered("processor", heat=1400.0)), STOP, ("graphics", "heat")),
    "sealed loop": (machine(air_ml=0.5), STOP, ("graphics block", "volume")),
    "touch": (HOT, STOP, ("fittings", "wetted_metals")),
}  # fmt: skip
CHECKS = {rule.key: check for rule, check in ALL.items()}


def weights(found):
    return {finding.severity for finding in found}


def test_every_rule_stands_in_the_table():
    assert set(TABLE) == set(CHECKS)


@pytest.mark.parametrize("key", TABLE)
def test_a_sound_machine_is_content(key):
    assert weights(CHECKS[key](machine())) <= {NOTE}


@pytest.mark.parametrize("key", TABLE)
def test_one_wrong_thing_is_found_and_sourced(key):
    wrong, weight, _fact = TABLE[key]
    found = [finding for finding in CHECKS[key](wrong) if finding.severity == weight and not finding.wants]
    assert found
    assert all(finding.sentence and finding.action and finding.source for finding in found)
    assert weight == STOP or STOP not in weights(CHECKS[key](wrong))


@pytest.mark.parametrize(("key", "fact"), [(key, row[2]) for key, row in TABLE.items() if row[2]])
def test_a_fact_that_is_not_known_is_asked_for(key, fact):
    role, name = fact
    asking = {f for f in CHECKS[key](machine(altered(role, **{name: None}))) if name in f.wants}
    assert [f.roles for f in asking] == [(role,)]


def test_a_cable_of_the_book_without_gauge_is_asked_about():
    assert CAUTION in weights(CHECKS["cables"](machine(cable={"awg": None})))


# Facts that this machine does without: what makes them matter, or why no check needs them here.
DOES_WITHOUT = {
    ("case", "panel_thickness"): "no screw passes the panel", ("case", "drives_35"): "no drive of 3.5 inch",
    ("memory", "height"): "a block stands higher", ("supply", "pcie_16"): "no 16-pin plug",
    ("drain", "diameter"): "it holds no tube",
}  # fmt: skip
NEEDED = [
    (role, name) for role, line in LINES.items() for name in line.facts if get_kind(line.kind).fact(name).needed_by
]


@pytest.mark.parametrize(("role", "name"), [pair for pair in NEEDED if pair not in DOES_WITHOUT])
def test_no_fact_that_a_check_needs_can_be_missing_in_silence(role, name):
    """The finding names the fact and the part, and the machine is no better off without it."""
    found = run(machine(altered(role, **{name: None})))
    assert any(name in f.wants and f.parts == (LINES[role].part,) for f in found)


@pytest.mark.parametrize(
    ("role", "name", "facts"),
    [("case", "panel_thickness", machine(altered("case", panel_thickness=None),
                                         steps={"top radiator": {"screw_through": "fan and panel"}})),
     ("case", "drives_35", machine(altered("case", drives_35=None) | altered("drive", form="3.5-inch"))),
     ("memory", "height", machine(altered("memory", height=None) | {"memory block": None})),
     ("supply", "pcie_16", machine(altered("supply", pcie_16=None) | altered("graphics", power_connectors="16-pin")))],
)  # fmt: skip
def test_and_is_asked_for_once_it_matters(role, name, facts):
    assert (role, name) in DOES_WITHOUT
    if (role, name) == ("memory", "height"):  # the stack hangs over the board only where the gap is small
        facts = machine({"memory block": None, **altered("memory", height=None), **altered("case", board_gap=40.0)})
    assert any(name in finding.wants for finding in run(facts))


NUMBERS = [
    (role, name) for role, line in LINES.items() for name, one in line.facts.items() if one.value.__class__ is float
]
WRONG = [row[0] for row in TABLE.values()]


@given(st.sampled_from(WRONG), st.sampled_from(NUMBERS), st.floats(0.5, 2.0))
@settings(max_examples=100, deadline=None)
def test_a_waiver_never_covers_other_numbers(wrong, fact, factor):
    """Where a finding's fingerprint stays, so does every word of it: whoever waived it waived just that."""
    role, name = fact
    line = wrong.line(LINES[role].role)
    if line is None or name not in line.facts:
        return
    other = replace(line, facts={**line.facts, name: Known(float(line.facts[name].value) * factor)})
    changed = replace(wrong, lines=tuple(other if one is line else one for one in wrong.lines))
    before = {finding.fingerprint: finding.sentence for finding in run(wrong) if finding.severity != NOTE}
    after = {finding.fingerprint: finding.sentence for finding in run(changed) if finding.severity != NOTE}
    assert not [(before[key], after[key]) for key in set(before) & set(after) if before[key] != after[key]]
