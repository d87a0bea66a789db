"""Taking a list over into a spec: roles are named from the kinds."""

from decimal import Decimal

import pytest

from builds.specs.models import SpecVersion
from parts.workshop.refusal import Refused
from tests.factories import JobFactory, PartFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def spec(owner):
    return SpecVersion.objects.for_change(JobFactory(), owner)


def said(spec):
    return [(line.role.name, line.part.name, line.quantity, line.remark) for line in spec.lines.all()]


def test_roles_are_named_by_kind_and_numbered_where_several(spec, owner):
    pump, slim, thick = PartFactory(kind="pump", name="P"), *[PartFactory(kind="radiator", name=n) for n in ("S", "T")]
    spec.take_rows([(pump, Decimal(1), ""), (slim, Decimal(1), "front"), (thick, Decimal(2), "")], owner)
    assert said(spec) == [("pump", "P", 1, ""), ("radiator 1", "S", 1, "front"), ("radiator 2", "T", 2, "")]


def test_a_part_listed_twice_adds_up(spec, owner):
    fitting = PartFactory(kind="fitting", name="F")
    spec.take_rows([(fitting, Decimal(8), "straight"), (fitting, Decimal(4), "spares")], owner)
    assert said(spec) == [("fitting", "F", 12, "straight")]
    spec.take_rows([(fitting, Decimal("2"), "")], owner)
    assert said(spec) == [("fitting", "F", 14, "straight")]


def test_a_waiting_role_is_filled_first(spec, owner):
    spec.add_role("radiator", "top radiator", owner)
    spec.take_rows([(PartFactory(kind="radiator", name="R"), Decimal(1), "")], owner)
    assert said(spec) == [("top radiator", "R", 1, "")]


def test_a_second_list_goes_on_numbering(spec, owner):
    for name in ("A", "B"):
        spec.take_rows([(PartFactory(kind="radiator", name=name), Decimal(1), "")], owner)
    assert [row[0] for row in said(spec)] == ["radiator", "radiator 2"]


def test_an_empty_list_changes_nothing_and_a_frozen_spec_refuses(spec, owner):
    assert spec.take_rows([], owner) == []
    spec.freeze(owner)
    with pytest.raises(Refused):
        spec.take_rows([(PartFactory(kind="pump"), Decimal(1), "")], owner)
