"""Changing a spec: roles live on, a frozen version is never touched."""

from decimal import Decimal

import pytest

from builds.jobs.models import Stage
from builds.specs.models import Role, SpecVersion
from parts.workshop.models import AuditEntry
from parts.workshop.refusal import Refused
from tests.factories import JobFactory, PartFactory, RoleFactory

from .rows import machine

pytestmark = pytest.mark.django_db


@pytest.fixture
def job():
    return JobFactory()


@pytest.fixture
def spec(job, owner):
    return SpecVersion.objects.for_change(job, owner)


def test_the_first_change_begins_the_first_version(job, owner):
    spec = SpecVersion.objects.for_change(job, owner)
    assert (spec.number, SpecVersion.objects.for_change(job, owner)) == (1, spec)


def test_an_ended_job_keeps_its_spec(job, owner):
    job.end(Stage.LOST, by=owner)
    with pytest.raises(Refused, match="no longer live"):
        SpecVersion.objects.for_change(job, owner)


def test_a_part_goes_into_a_role_of_its_kind(spec, owner):
    role = spec.add_role("radiator", "front radiator", owner)
    line = spec.put(role, PartFactory(kind="radiator"), owner, quantity=Decimal(1), remark="black")
    assert (line.role.name, line.remark, line.quantity) == ("front radiator", "black", 1)
    assert AuditEntry.objects.filter(verb="part chosen").count() == 1
    with pytest.raises(Refused, match="is a fan"):
        spec.put(role, PartFactory(kind="fan"), owner)


def test_choosing_another_part_keeps_quantity_and_remark(spec, owner):
    role = spec.add_role("fan", "", owner)
    spec.put(role, PartFactory(kind="fan"), owner, quantity=Decimal(3), remark="quiet")
    line = spec.put(role, PartFactory(kind="fan", name="other fan"), owner)
    assert (line.part.name, line.quantity, line.remark) == ("other fan", 3, "quiet")
    assert spec.lines.count() == 1


def test_a_role_without_a_name_gets_one(spec, owner):
    names = [spec.add_role("radiator", "", owner).name for _ in range(5)]
    assert names == ["front radiator", "top radiator", "bottom radiator", "side radiator", "radiator 2"]


def test_a_name_stands_once(spec, owner):
    role = spec.add_role("pump", "pump", owner)
    assert spec.add_role("pump", "Pump", owner) == role, "a role that waits for its part is found again"
    spec.put(role, PartFactory(kind="pump"), owner)
    for kind in ("pump", "fan"):
        with pytest.raises(Refused, match="there already"):
            spec.add_role(kind, "pump", owner)
    other = spec.add_role("pump", "second pump", owner)
    with pytest.raises(Refused, match="there already"):
        spec.rename(other, "PUMP", owner)
    spec.rename(role, "main pump", owner)
    assert Role.objects.get(pk=role.pk).name == "main pump"


def test_taking_a_role_out_forgets_it_when_nothing_else_knows_it(spec, owner):
    role = spec.add_role("pump", "pump", owner)
    spec.put(role, PartFactory(kind="pump"), owner)
    spec.take_out(role, owner)
    assert not Role.objects.filter(name="pump").exists()


def test_a_role_of_an_older_version_lives_on(owner):
    old = machine()
    old.freeze(owner)
    new = SpecVersion.objects.for_change(old.job, owner)
    pump = Role.objects.get(job=old.job, name="pump")
    new.take_out(pump, owner)
    assert old.lines.filter(role=pump).exists()
    assert not new.lines.filter(role=pump).exists()
    assert new.add_role("pump_reservoir", "pump", owner) == pump


def test_roles_change_places(spec, owner):
    first, second = (spec.add_role("pump", name, owner) for name in ("one", "two"))
    spec.move(second, owner, up=True)
    assert list(spec.job.roles.all()) == [second, first]
    spec.move(second, owner, up=True)
    assert list(spec.job.roles.all()) == [second, first]


def test_a_frozen_version_is_changed_in_its_copy(owner):
    old = machine()
    old.freeze(owner)
    with pytest.raises(Refused, match="is frozen"):
        old.add_role("fan", "", owner)
    new = SpecVersion.objects.for_change(old.job, owner)
    assert (new.number, new.based_on, new.frozen_at) == (2, old, None)
    assert [line.as_said() for line in new.lines.all()] == [line.as_said() for line in old.lines.all()]
    assert set(new.lines.values_list("role")) == set(old.lines.values_list("role"))


def test_a_copy_takes_loops_with_their_order(owner):
    old = machine()
    new = old.copy(owner)
    before, after = (
        [(s.line.role.name, s.cools_id, s.fans_id, s.fan_count, s.speed) for s in spec.loops.get().ordered()]
        for spec in (old, new)
    )
    assert before == after
    assert {s.line.spec_id for s in new.loops.get().steps.all()} == {new.pk}
    assert old.loops.get().steps.count() == len(before)


def test_changing_the_copy_leaves_the_old_one(owner):
    old = machine()
    old.freeze(owner)
    new = SpecVersion.objects.for_change(old.job, owner)
    fans = Role.objects.get(job=old.job, name="front fans")
    new.put(fans, PartFactory(kind="fan", name="other fan"), owner, quantity=Decimal(6))
    assert old.lines.get(role=fans).quantity == 3


def test_a_frozen_version_is_frozen_once(spec, owner):
    spec.freeze(owner)
    at = spec.frozen_at
    spec.freeze(owner)
    assert spec.frozen_at == at


def test_roles_that_never_had_a_part_wait(job, spec, owner):
    role = spec.add_role("pump", "", owner)
    assert list(Role.objects.waiting(job)) == [role]
    spec.put(role, PartFactory(kind="pump"), owner)
    assert not Role.objects.waiting(job).exists()
    RoleFactory(kind="fan")
    assert not Role.objects.waiting(job).exists(), "another job's roles do not count"
