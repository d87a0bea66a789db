"""The spec page: roles as rows, parts that fit, what it costs; every button without JavaScript."""

from decimal import Decimal

import pytest
from django.urls import reverse

from builds.specs.models import Role, SpecVersion
from parts.workshop.models import AuditEntry
from tests.factories import JobFactory, PartFactory, SupplierFactory, SupplierPriceFactory, once

from .rows import machine, queries

pytestmark = pytest.mark.django_db


def page(job, name="spec", *args):
    return reverse(f"specs:{name}", args=[job.number, *args])


def role(job, name):
    return Role.objects.get(job=job, name=name)


def send(client, url, **data):
    return client.post(url, once(**data), follow=True)


def test_an_empty_spec_says_what_to_do_first(owner_client):
    answer = owner_client.get(page(JobFactory()))
    assert "Nothing in the spec yet" in answer.text


def test_a_role_is_added_and_leads_to_its_parts(owner_client):
    job, pump = JobFactory(), PartFactory(kind="pump", name="Quiet pump")
    answer = send(owner_client, page(job), kind="pump", name="main pump")
    assert answer.redirect_chain[-1][0] == page(job, "role", role(job, "main pump").pk)
    assert "Quiet pump" in answer.text
    answer = send(owner_client, page(job, "choose", role(job, "main pump").pk), part=pump.pk)
    assert answer.redirect_chain[-1][0] == page(job)
    assert SpecVersion.objects.current_for(job).lines.get().part == pump


def test_a_name_that_is_taken_is_said_at_its_field_and_nothing_is_lost(owner_client):
    spec = machine()
    answer = owner_client.post(page(spec.job), once(kind="pump_reservoir", name="Pump", version=spec.version))
    assert "choose another name" in str(answer.context["form"].errors["name"])
    assert 'value="Pump"' in answer.text


def test_no_kind_is_asked_for(owner_client):
    answer = owner_client.post(page(JobFactory()), once(kind="", name="x"))
    assert "Choose what kind" in str(answer.context["form"].errors["kind"])


def test_quantity_remark_and_supply_are_changed(owner_client):
    spec = machine()
    fans = role(spec.job, "front fans")
    send(owner_client, page(spec.job, "role", fans.pk), name="quiet fans", quantity="6", client_supplied="on",
         remark="black", version=spec.version)  # fmt: skip
    line = spec.lines.get(role=fans)
    assert (line.quantity, line.client_supplied, line.remark, line.role.name) == (6, True, "black", "quiet fans")


@pytest.mark.parametrize(("typed", "said"), [("2.5", "whole pieces"), ("0", "0.001 or more"), ("many", "amount")])
def test_a_quantity_that_cannot_be_is_said_at_its_field(owner_client, typed, said):
    spec = machine()
    fans = role(spec.job, "front fans")
    answer = owner_client.post(
        page(spec.job, "role", fans.pk), once(name=fans.name, quantity=typed, version=spec.version)
    )
    assert said in str(answer.context["form"].errors["quantity"])
    assert spec.lines.get(role=fans).quantity == 3


def test_tube_is_counted_in_parts_of_a_metre(owner_client):
    spec = machine()
    tube = role(spec.job, "tube")
    send(owner_client, page(spec.job, "role", tube.pk), name="tube", quantity="2,75", version=spec.version)
    assert spec.lines.get(role=tube).quantity == Decimal("2.75")


def test_a_stale_form_shows_that_somebody_was_faster(owner_client):
    spec = machine()
    SpecVersion.objects.filter(pk=spec.pk).update(version=7)
    fans = role(spec.job, "front fans")
    answer = owner_client.post(page(spec.job, "role", fans.pk), once(name=fans.name, quantity="6", version=1))
    assert "Somebody changed this" in str(answer.context["form"].non_field_errors())


def test_roles_that_change_places_leave_a_trace(owner):
    spec = machine()
    role = spec.lines.first().role
    spec.move(role, owner, up=False)
    entry = AuditEntry.objects.get(verb="roles reordered")
    assert (entry.person, entry.after) == (owner, {"role": role.name, "place": 2})


def test_what_is_refused_without_leaving_the_page_is_said_on_it(owner_client):
    """A second press that HTMX sends has no effect, and the answer to it says why; once it was silent until later."""
    spec = machine()
    here = page(spec.job)
    sent = once(way="down")
    address = page(spec.job, "move", spec.lines.first().role_id)
    for words in ("", "That was done already"):
        answer = owner_client.post(address, sent, follow=True, headers={"HX-Request": "true", "Referer": here})
        assert "<html" not in answer.text
        assert ('id="words"' in answer.text) is bool(words)
        assert words in answer.text


def test_roles_move_and_leave(owner_client):
    spec = machine()
    board = role(spec.job, "main board")
    send(owner_client, page(spec.job, "move", board.pk), way="up")
    assert spec.job.roles.first() == board
    send(owner_client, page(spec.job, "remove", board.pk))
    assert not spec.lines.filter(role__name="main board").exists()


def test_htmx_gets_the_changed_piece_alone(owner_client):
    spec = machine()
    url = page(spec.job, "move", role(spec.job, "main board").pk)
    answer = owner_client.post(url, once(way="up"), headers={"HX-Request": "true"})
    assert answer.status_code == 200
    assert "<html" not in answer.text
    assert answer.text.index("main board") < answer.text.index("Saltmarsh case")


def test_findings_stand_beside_their_row(owner_client):
    spec = machine(**{"front radiator": {"thickness": 60.0}})
    text = owner_client.get(page(spec.job)).text
    assert text.index("front radiator") < text.index("85 mm deep") < text.index(">front fans<")
    assert "1 stop to settle" in text


def test_a_part_without_facts_says_what_is_not_known(owner_client):
    spec = machine()
    board = role(spec.job, "main board")
    spec.lines.get(role=board).part.facts.all().delete()
    assert "Not known, so not checked: board size" in " ".join(owner_client.get(page(spec.job)).text.split())


def test_the_total_is_landed_at_the_cheapest_price(owner_client):
    spec = machine()
    near, far = SupplierFactory(carriage=Decimal(10)), SupplierFactory(currency="USD")
    fans = spec.lines.get(role__name="front fans")
    SupplierPriceFactory(part=fans.part, supplier=near, price=Decimal("20"))
    SupplierPriceFactory(part=fans.part, supplier=SupplierFactory(), price=Decimal("25"))
    SupplierPriceFactory(part=fans.part, supplier=far, price=Decimal("1"))
    context = owner_client.get(page(spec.job)).context
    assert context["costs"].total == Decimal("70.00"), "3 × 20 and the carriage; a dollar price is no price yet"
    assert context["costs"].unpriced == len(spec.lines.all()) - 1


def test_what_the_client_brings_costs_nothing(owner_client):
    spec = machine()
    fans = spec.lines.get(role__name="front fans")
    SupplierPriceFactory(part=fans.part, price=Decimal("20"))
    spec.lines.update(client_supplied=True)
    context = owner_client.get(page(spec.job)).context
    assert (context["costs"].total, context["costs"].unpriced) == (0, 0)


def test_the_workshop_role_sees_no_spec_page(helper_client):
    spec = machine()
    for url in (page(spec.job), page(spec.job, "role", role(spec.job, "case").pk), page(spec.job, "version", 1)):
        assert helper_client.get(url).status_code == 403


def test_a_change_on_a_frozen_spec_makes_the_next_version(owner_client, owner):
    spec = machine()
    spec.freeze(owner)
    assert "The first change here makes version 2" in owner_client.get(page(spec.job)).text
    fans = role(spec.job, "front fans")
    send(owner_client, page(spec.job, "role", fans.pk), name=fans.name, quantity="6", version=spec.version)
    new = SpecVersion.objects.current_for(spec.job)
    assert (new.number, new.lines.get(role=fans).quantity, spec.lines.get(role=fans).quantity) == (2, 6, 3)


def test_versions_are_compared(owner_client, owner):
    spec = machine()
    spec.freeze(owner)
    new = SpecVersion.objects.for_change(spec.job, owner)
    new.put(role(spec.job, "front fans"), PartFactory(kind="fan", name="Still fan"), owner)
    new.take_out(role(spec.job, "graphics block"), owner)
    new.put(new.add_role("drive", "", owner), PartFactory(kind="drive", name="Drive"), owner)
    answer = owner_client.get(page(spec.job, "version", 1), {"against": 2})
    said = {(change.role, change.kind) for _heading, group in answer.context["changes"] for change in group}
    assert said == {
        ("front fans", "changed"), ("graphics block", "removed"), ("system drive", "added"), ("loop", "changed"),
    }  # fmt: skip
    assert "Still fan" in answer.text
    assert owner_client.get(page(spec.job, "version", 9)).status_code == 404


def test_the_page_costs_the_same_whatever_its_length(owner_client):
    short, long = (page(machine(extra=extra).job) for extra in (0, 25))
    assert queries(owner_client, short) == queries(owner_client, long)


def test_a_part_of_another_kind_is_refused(owner_client):
    spec = machine()
    fan = PartFactory(kind="fan", name="Odd fan")
    answer = send(owner_client, page(spec.job, "choose", role(spec.job, "pump").pk), part=fan.pk)
    assert "Odd fan is a fan" in answer.text
    assert owner_client.post(page(spec.job, "choose", role(spec.job, "pump").pk), once(part="x")).status_code == 404
