"""What changed from one spec version to the next: loops, how each component is run, tube runs, cables."""

import pytest
from django.urls import reverse

from builds.specs.difference import compared
from builds.specs.gather import with_everything
from builds.specs.models import Cable, SpecVersion

from .rows import machine, queries

pytestmark = pytest.mark.django_db


@pytest.fixture
def spec(owner):
    """A frozen version with one run measured and one cable."""
    spec = machine()
    loop = spec.loops.get()
    loop.measure({ends(loop, "pump", "processor block"): run(420.0)}, owner)
    role = {line.role.name: line.role for line in spec.lines.all()}
    Cable(spec=spec).alter(
        owner, name="graphics cable", supply=role["power supply"], supply_connector="16-pin",
        device=role["graphics board"], device_connector="16-pin", awg=16, routed_mm=480.0,
    )  # fmt: skip
    spec.freeze(owner)
    return spec


@pytest.fixture
def new(spec, owner):
    return SpecVersion.objects.for_change(spec.job, owner)


def run(length, **more):
    return {"length_mm": length, "bends": 0, "angles": 0, "bulkheads": 0, "from_port": "", "to_port": "", **more}


def ends(loop, *roles):
    steps = {step.line.role.name: step for step in loop.steps.select_related("line__role")}
    return tuple(steps[role] for role in roles)


def changes(old, new):
    """{heading: [(role, kind, was, now)]}"""
    with_everything([old, new])
    return {
        heading: [(c.role, c.kind, c.was, c.now) for c in group] for heading, group in compared(old, new)
    }  # fmt: skip


def test_a_copy_is_alike(spec, new):
    assert changes(spec, new) == {}


def test_a_run_measured_anew_says_what_is_other(spec, new, owner):
    loop = new.loops.get()
    loop.measure({ends(loop, "pump", "processor block"): run(455.0, bends=2, from_port="out")}, owner)
    assert changes(spec, new) == {
        "Tube runs": [
            ("pump → processor block", "changed", "length: 420 mm; bends: 0; leaves by: –",
             "length: 455 mm; bends: 2; leaves by: outlet")
        ]
    }  # fmt: skip


def test_runs_that_came_and_went(spec, new, owner):
    loop = new.loops.get()
    loop.measure(
        {ends(loop, "pump", "processor block"): None,
         ends(loop, "processor block", "graphics block"): run(150.0, angles=1)}, owner,
    )  # fmt: skip
    assert changes(spec, new)["Tube runs"] == [
        ("pump → processor block", "removed", "length: 420 mm", ""),
        ("processor block → graphics block", "added", "", "length: 150 mm; angle fittings: 1"),
    ]


def test_a_run_that_joins_no_neighbours_any_more_is_gone(spec, new, owner):
    loop = new.loops.get()
    (block,) = ends(loop, "processor block")
    loop.move(block, owner, up=False)
    said = changes(spec, new)
    assert [(role, kind) for role, kind, *_ in said["Tube runs"]] == [("pump → processor block", "removed")]
    assert said["Loops"][0][3] == "pump → graphics block → processor block → front radiator"


def test_how_a_component_is_run(spec, new, owner):
    (radiator,) = ends(new.loops.get(), "front radiator")
    radiator.alter(owner, speed=0.6, place="top", gasket_mm=3.0)
    assert changes(spec, new)["Loops"] == [
        ("front radiator", "changed",
         "speed, of rated: 75 %; place in the case: front; gasket and grille in its stack: 0 mm",
         "speed, of rated: 60 %; place in the case: top; gasket and grille in its stack: 3 mm")
    ]  # fmt: skip


def test_what_the_loop_holds(spec, new, owner):
    new.loops.get().alter(owner, air_ml=120.0, breather=True)
    assert changes(spec, new)["Loops"] == [
        ("loop", "changed", "air left in it: –; it breathes: no", "air left in it: 120 mL; it breathes: yes")
    ]


def test_cables_changed_added_and_gone(spec, new, owner):
    cable = new.cables.get()
    cable.alter(owner, name=cable.name, awg=18, routed_mm=520.0)
    Cable(spec=new).alter(
        owner, name="Board cable", supply=cable.supply, supply_connector="board 24", device=cable.device,
        device_connector="board 24",
    )  # fmt: skip
    said = changes(spec, new)["Cables"]
    assert ("graphics cable", "changed", "wire gauge, AWG: 16; routed length: 480 mm",
            "wire gauge, AWG: 18; routed length: 520 mm") in said  # fmt: skip
    [(_name, kind, _was, now)] = [one for one in said if one[0] == "Board cable"]
    assert kind == "added"
    assert "connector at the supply: board, 24 pins" in now
    new = SpecVersion.objects.get(pk=new.pk)
    new.cables.get(name="graphics cable").remove(owner)
    assert ("graphics cable", "removed") in [one[:2] for one in changes(spec, new)["Cables"]]


def test_what_a_part_is_fed_from(spec, new, owner):
    board = new.lines.get(role__name="main board").role
    fans = new.lines.get(role__name="front fans")
    new.put(fans.role, fans.part, owner, fed_from=board, outlets=3)
    [(role, kind, was, now)] = changes(spec, new)["Parts"]
    assert (role, kind) == ("front fans", "changed")
    assert "fed from" not in was
    assert "fed from main board, outputs: 3" in now


def test_the_page_shows_each_group_and_costs_no_query_a_row(owner_client, spec, new, owner):
    page = f"{reverse('specs:version', args=[spec.job.number, 1])}?against=2"
    assert "the two are alike" in owner_client.get(page).text
    few = queries(owner_client, page)
    loop = new.loops.get()
    pairs = [("pump", "processor block"), ("processor block", "graphics block"), ("graphics block", "front radiator")]
    loop.measure({ends(loop, *pair): run(100.0 + n) for n, pair in enumerate(pairs)}, owner)
    new.cables.get().remove(owner)
    text = owner_client.get(page).text
    for said in ("Tube runs", "graphics block → front radiator", "length: 102 mm", "Cables", "graphics cable"):
        assert said in text
    assert queries(owner_client, page) <= few
