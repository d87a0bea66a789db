"""A change after agreement: priced as a difference, nothing moved until it is accepted."""

from decimal import Decimal as D

import pytest
from django.urls import reverse

from builds.jobs.models import Stage
from builds.quotes.bills import Bill
from builds.quotes.models import Issue, IssueLine, Quote
from builds.specs.models import SpecVersion
from parts.workshop.refusal import Refused
from tests.factories import PartFactory, SupplierPriceFactory, once

from .conftest import in_days, put


@pytest.fixture
def newer(agreed, spec, owner):
    """The agreed spec with another pump, four fans instead of six, and a valve."""
    made = spec.copy(owner)
    pump = made.lines.get(role__name="pump")
    pump.part = PartFactory(name="stronger pump")
    pump.save()
    SupplierPriceFactory(part=pump.part, price=D("120.00"))
    made.lines.filter(role__name="fans").update(quantity=D(4))
    put(made, "valve", "4.00")
    return made


@pytest.fixture
def change(newer, job, owner):
    return Quote.vary(job, newer, owner)


def test_its_lines_are_the_difference(change):
    shown = [(line.text, line.quantity, line.unit_price, line.amount) for line in change.figures().lines]
    assert shown == [
        ("pump part", D(-1), D(100), D("-100.00")),
        ("fans part", D(-2), D(10), D("-20.00")),
        ("stronger pump", D(1), D("150.00"), D("150.00")),
        ("valve part", D(1), D("5.00"), D("5.00")),
    ]
    assert change.figures().totals.total == D("42.00")


def test_what_comes_out_counts_as_saved_for_the_owner(change):
    """120.00 + 4.00 go in, 80.00 + 16.00 come out at cost; 35.00 net is asked."""
    assert change.figures().keep.contribution == D("7.00")


def test_what_is_kept_of_a_change_is_said_in_money(change, owner_client, job):
    shown = owner_client.get(reverse("quotes:sheet", args=[job.number])).content.decode()
    assert "amounts in EUR;" in shown
    kept = shown.split("margin on parts</th><td>")[1].split("</td>")[0]
    assert kept == "7.00"


def test_a_part_agreed_without_a_cost_is_credited_at_todays(agreed, spec, job, owner):
    """Its price was typed then; 80.00 is what its supplier asks now."""
    agreed.lines.filter(role__name="pump").update(unit_cost=None)
    made = spec.copy(owner)
    made.lines.get(role__name="pump").delete()
    change = Quote.vary(job, made, owner)
    assert [(line.unit_price, line.unit_cost) for line in change.figures().lines] == [(D(100), D(80))]


def test_more_of_the_same_is_at_todays_price(agreed, spec, job, owner):
    made = spec.copy(owner)
    made.lines.filter(role__name="fans").update(quantity=D(8))
    fans = made.lines.get(role__name="fans")
    fans.part.prices.update(price=D(12))
    change = Quote.vary(job, made, owner)
    assert [(x.quantity, x.unit_price) for x in change.figures().lines] == [(D(2), D("15.00"))]


def test_work_is_typed(change, plan, owner):
    change.add_line(
        owner, kind=IssueLine.LABOUR, work_kind=plan[0].work_kind, text="Fit-up", quantity=D(2), unit="h",
        unit_price=D(38), unit_cost=D(15),
    )  # fmt: skip
    change.lay_again(change.spec, owner)
    assert change.figures().totals.net == D("111.00")


def test_nothing_moves_until_it_is_accepted(change, agreed, job, spec, owner):
    change.set_terms(owner, valid_until=in_days(7), promise=in_days(90), margin_percent=D(20))
    change.send(owner)
    job.refresh_from_db()
    assert job.promise == agreed.promise
    assert SpecVersion.objects.agreed_for(job) == spec
    assert Bill.objects.amount_due([job]) == {job.pk: D(192)}
    change.decline(owner, "stays as it is")
    assert SpecVersion.objects.agreed_for(job) == spec


def test_accepting_moves_spec_promise_price_and_hours(change, agreed, job, newer, plan, owner):
    change.add_line(
        owner, kind=IssueLine.LABOUR, work_kind=plan[0].work_kind, text="Fit-up", quantity=D(5), unit="h",
        unit_price=D(38), unit_cost=D(15),
    )  # fmt: skip
    change.set_terms(owner, valid_until=in_days(7), promise=in_days(90), margin_percent=D(20))
    change.send(owner)
    change.accept(owner, "T. Oyelaran")
    job.refresh_from_db()
    assert job.promise == in_days(90)
    assert SpecVersion.objects.agreed_for(job) == newer
    assert Issue.objects.agreed_for(job) == change
    assert [task.quoted_hours for task in job.tasks.all()] == [D(6), D(9), D(5)]
    assert Bill.objects.amount_due([job]) == {job.pk: D(192) + D("270.00")}


def test_a_saving_is_credited(agreed, spec, job, owner):
    made = spec.copy(owner)
    made.lines.filter(role__name="fans").delete()
    change = Quote.vary(job, made, owner)
    change.send(owner)
    assert change.total == D("-72.00")
    change.accept(owner, "T. Oyelaran")
    assert Bill.objects.amount_due([job]) == {job.pk: D(120)}


def test_on_a_job_that_ended_nothing_is_sent_any_more(change, job, owner):
    """The client could never accept it: an offer that leads nowhere does not go out."""
    job.end(Stage.CANCELLED, owner, "moved away")
    with pytest.raises(Refused, match="is cancelled: nothing more can be agreed"):
        change.send(owner)
    change.refresh_from_db()
    assert change.is_draft


def test_an_unchanged_spec_is_no_variation(agreed, spec, job, owner):
    with pytest.raises(Refused, match="has not changed"):
        Quote.vary(job, spec, owner)


def test_before_agreement_there_is_none(sent, spec, job, owner):
    with pytest.raises(Refused, match="Nothing is agreed"):
        Quote.vary(job, spec.copy(owner), owner)


def test_one_that_was_overtaken_cannot_be_accepted_or_sent(change, job, newer, owner):
    change.send(owner)
    third = newer.copy(owner)
    put(third, "light", "8.00")
    other = Quote.vary(job, third, owner)
    other.send(owner)
    change.accept(owner, "T. Oyelaran")
    with pytest.raises(Refused, match="replaced"):
        other.accept(owner, "T. Oyelaran")
    late = other.quote.next_issue(third, owner)
    with pytest.raises(Refused, match="Something else was agreed since"):
        late.send(owner)


def test_what_it_alters_is_shown(change, owner_client, job):
    shown = owner_client.get(reverse("quotes:sheet", args=[job.number])).content.decode()
    assert "variation of Q-0001" in shown
    assert "comes out again" in shown


def test_it_is_raised_from_the_page(newer, owner_client, job):
    shown = owner_client.get(reverse("quotes:sheet", args=[job.number])).content.decode()
    assert "Spec 2 differs from spec 1" in shown
    answer = owner_client.post(reverse("quotes:vary", args=[job.number]), once(), follow=True)
    assert "stronger pump" in answer.content.decode()
