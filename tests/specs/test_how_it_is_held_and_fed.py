"""Screws, gaskets and ports at a radiator's step; what feeds fans and pumps at their role; air left in the loop."""

import pytest

from builds.specs.gather import facts_of
from builds.specs.models import SpecVersion
from builds.specs.sanity import findings_of
from tests.factories import PartFactory, RoleFactory, SpecLineFactory, once

from .rows import machine

pytestmark = pytest.mark.django_db


@pytest.fixture
def spec():
    spec = machine()
    for length in (30, 35):
        part = PartFactory(kind="consumable", name=f"M3 × {length}",
                           facts={"screw_thread": "M3", "screw_length": float(length)})  # fmt: skip
        role = RoleFactory(job=spec.job, kind="consumable", name=f"screws {length}")
        SpecLineFactory(spec=spec, part=part, role=role)
    return spec


def role(spec, name):
    return spec.lines.get(role__name=name).role


def fresh(spec):
    return SpecVersion.objects.get(pk=spec.pk)


def run_radiator(client, spec, **said):
    at = f"/jobs/J-{spec.job.number:04d}/loop/{spec.loops.get().pk}/{role(spec, 'front radiator').pk}/"
    usual = {"speed": "75 %", "fans": role(spec, "front fans").pk, "fan_count": "3", "layers": "1", "place": "front",
             "draws_from": "room", "blows_to": "case", "grille_loss": "0", "version": fresh(spec).version}  # fmt: skip
    return client.post(at, once(**{**usual, **said}))


def of_rule(spec, rule):
    return [f for f in findings_of(fresh(spec)) if f.rule == rule]


def test_screws_are_chosen_at_the_radiators_step_and_checked(owner_client, spec):
    assert [f.severity for f in of_rule(spec, "screws")] == ["note"]
    run_radiator(owner_client, spec, screws=role(spec, "screws 30").pk, screw_through="fan")
    assert of_rule(spec, "screws") == []
    run_radiator(owner_client, spec, screws=role(spec, "screws 35").pk, screw_through="fan")
    assert [(f.severity, f.roles) for f in of_rule(spec, "screws")] == [("stop", ("screws 35", "front radiator"))]
    run_radiator(owner_client, spec, screws=role(spec, "screws 35").pk, screw_through="fan", gasket_mm="5 mm")
    assert of_rule(spec, "screws") == []


def test_screws_without_what_they_pass_are_asked(owner_client, spec):
    answer = run_radiator(owner_client, spec, screws=role(spec, "screws 30").pk)
    assert "Choose what the screws pass" in answer.text


def test_ports_that_look_down_trap_air(owner_client, spec):
    run_radiator(owner_client, spec, ports_at="down")
    assert "air stays in it" in of_rule(spec, "flow direction")[0].sentence


def feed(client, spec, name, quantity, source, outlets=""):
    one = role(spec, name)
    said = {"name": name, "quantity": quantity, "fed_from": role(spec, source).pk, "outlets": outlets,
            "version": fresh(spec).version}  # fmt: skip
    return client.post(f"/jobs/J-{spec.job.number:04d}/spec/roles/{one.pk}/", once(**said))


def test_what_feeds_fans_and_pump_is_said_at_their_role(owner_client, spec):
    feed(owner_client, spec, "pump", "1", "main board")
    assert [f.severity for f in of_rule(spec, "headers") if f.roles[0] == "pump"] == ["stop"], "15 W are 1.25 A"
    feed(owner_client, spec, "pump", "1", "power supply")
    feed(owner_client, spec, "front fans", "3", "main board", outlets="3")
    assert of_rule(spec, "headers") == []
    facts = facts_of(fresh(spec)).line("front fans")
    assert (facts.fed_from, facts.outlets) == ("main board", 3)


def test_a_copy_keeps_what_feeds_and_holds(owner_client, owner, spec):
    feed(owner_client, spec, "pump", "1", "power supply")
    run_radiator(owner_client, spec, screws=role(spec, "screws 30").pk, screw_through="fan", ports_at="up")
    new = facts_of(fresh(spec).copy(owner))
    assert new.line("pump").fed_from == "power supply"
    step = next(step for step in new.loops[0].steps if step.role == "front radiator")
    assert (step.screws, step.screw_through, step.ports_at) == ("screws 30", "fan", "up")


def test_air_left_in_a_closed_loop_is_judged(owner_client, spec):
    loop = spec.loops.get()
    at = f"/jobs/J-{spec.job.number:04d}/loop/{loop.pk}/"
    said = {"name": loop.name, "tube_length_mm": "2 m", "fitting_loss": "12", "case_heat_w": "0 W",
            "case_air_flow_m3h": "0 m3/h", "altitude_m": "0 m"}  # fmt: skip
    owner_client.post(at, once(**said, air_ml="40 mL", version=fresh(spec).version))
    assert any("less than 15 %" in f.sentence for f in of_rule(spec, "sealed loop"))
    owner_client.post(at, once(**said, air_ml="40 mL", breather="on", version=fresh(spec).version))
    assert of_rule(spec, "sealed loop") == []
