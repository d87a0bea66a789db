"""Taking a list over into a spec: roles are named from the kinds."""

from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from builds.specs.models import SpecVersion
from parts.catalogue.drafts import ImportDraft
from parts.workshop.refusal import Refused
from tests.factories import JobFactory, PartFactory, once

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


def saved_list(person, rows):
    """A parts list as it stands after it was read in and saved."""
    draft = ImportDraft.objects.create(person=person, file_name="harbour.csv", rows=[], saved_at=timezone.now())
    kept = [(part.pk, quantity, remark) for part, quantity, remark in rows]
    draft.keep(kept, {"facts": [], "parts changed": []}, person)
    return draft


def test_a_list_read_in_is_shown_and_taken_over(owner_client, owner):
    job = JobFactory()
    pump, tube = PartFactory(kind="pump", name="Quiet pump"), PartFactory(kind="tube", name="Soft tube")
    draft = saved_list(owner, [(pump, Decimal(1), "grey"), (tube, Decimal("2.5"), "")])
    url = reverse("specs:take", args=[job.number])
    assert "harbour.csv" in owner_client.get(url).text
    shown = owner_client.get(url, {"list": draft.pk}).text
    assert "Quiet pump" in shown
    answer = owner_client.post(url, once(list=draft.pk), follow=True)
    assert "2 roles made" in answer.text
    assert said(SpecVersion.objects.current_for(job)) == [
        ("pump", "Quiet pump", 1, "grey"), ("tube", "Soft tube", Decimal("2.5"), ""),
    ]  # fmt: skip
    assert "the quantities add up" in owner_client.get(url, {"list": draft.pk}).text


def test_sending_it_twice_takes_it_once(owner_client, owner):
    job = JobFactory()
    draft = saved_list(owner, [(PartFactory(kind="pump"), Decimal(1), "")])
    data = once(list=draft.pk)
    for _ in range(2):
        owner_client.post(reverse("specs:take", args=[job.number]), data)
    assert SpecVersion.objects.current_for(job).lines.get().quantity == 1


def test_only_ones_own_saved_lists_and_only_the_owner(owner_client, helper_client, helper):
    job = JobFactory()
    theirs = saved_list(helper, [(PartFactory(kind="pump"), Decimal(1), "")])
    url = reverse("specs:take", args=[job.number])
    assert owner_client.get(url, {"list": theirs.pk}).status_code == 404
    assert helper_client.get(url).status_code == 403
    assert "No list has been read in yet" in owner_client.get(url).text
