"""Drafting a quote from a spec and a plan."""

from datetime import timedelta
from decimal import Decimal as D

import pytest
from django.urls import reverse
from django.utils import timezone

from builds.labour.patterns import PatternTask, PlanPattern, WorkKind
from builds.quotes.models import Issue, IssueLine, Quote
from parts.workshop.models import AuditEntry, TaxRule, Workshop
from parts.workshop.refusal import Refused
from tests.factories import SpecVersionFactory, SupplierFactory, SupplierPriceFactory, once

from .conftest import in_days, put


def prices(issue):
    return {line.text: (line.quantity, line.unit_price, line.amount) for line in issue.figures().lines}


def test_parts_at_margin_and_work_at_its_rate(draft):
    assert prices(draft) == {
        "pump part": (D(1), D("100.00"), D("100.00")),
        "fans part": (D(6), D("10.00"), D("60.00")),
        "Fit-up": (D(10), D(38), D("380.00")),
        "Testing": (D(5), D(40), D("200.00")),
    }
    totals = draft.figures().totals
    assert (totals.net, totals.tax, totals.total) == (D("740.00"), D("148.00"), D("888.00"))


def test_the_workshops_texts_and_validity_come_along(draft, shop):
    assert (draft.included, draft.excluded, draft.terms) == (
        "Assembly and soak test.",
        "Software licences.",
        "14 days.",
    )
    assert draft.valid_until == in_days(shop.quote_days)
    assert draft.number == 1
    assert str(draft.quote) == "Q-0001"


def test_a_deadline_ahead_is_offered_as_promise(job, spec, owner):
    job.deadline = in_days(50)
    job.save()
    assert Quote.draft(job, spec, owner).promise == in_days(50)


def test_all_parts_up_front_and_the_rest_before_hand_over(draft):
    """192.00 is 160.00 of parts with 20 % tax."""
    assert [(s.due, s.amount) for s in draft.figures().stages] == [
        ("acceptance", D("192.00")),
        ("handover", D("696.00")),
    ]


def test_landed_cost_holds_a_share_of_carriage(job, owner):
    supplier = SupplierFactory(carriage=D("10.00"))
    spec = SpecVersionFactory(job=job, number=1)
    pump, block = put(spec, "pump", None), put(spec, "block", None)
    SupplierPriceFactory(part=pump.part, supplier=supplier, price=D(80))
    SupplierPriceFactory(part=block.part, supplier=supplier, price=D(20))
    lines = Quote.draft(job, spec, owner).lines
    assert lines.get(role=pump.role).unit_cost == D(88)
    assert lines.get(role=block.role).unit_cost == D(22)


def test_what_the_client_brings_costs_nothing(job, spec, owner):
    line = put(spec, "graphics board", "600.00", client_supplied=True)
    issue = Quote.draft(job, spec, owner)
    offered = next(x for x in issue.figures().lines if x.role_id == line.role_id)
    assert (offered.unit_price, offered.amount, offered.price_missing) == (0, 0, False)


def test_a_part_nobody_sells_is_shown_as_price_missing(job, spec, owner):
    put(spec, "side window", None)
    missing = Quote.draft(job, spec, owner).figures().without_price
    assert [line.role.name for line in missing] == ["side window"]


def test_a_price_in_foreign_money_alone_is_missing_too(job, spec, owner):
    line = put(spec, "valve", None)
    SupplierPriceFactory(part=line.part, supplier=SupplierFactory(currency="USD"), price=D(9))
    assert Quote.draft(job, spec, owner).figures().without_price


def test_outside_any_tax_rules_dates_no_tax_is_charged(draft):
    TaxRule.objects.update(ends=timezone.localdate() - timedelta(days=1))
    figures = draft.figures()
    assert figures.totals.tax == 0
    assert {line.tax_category for line in figures.lines} == {"O"}
    assert figures.tax_note == "No tax is charged."


def test_the_only_pattern_makes_the_plan(job, spec, owner):
    kind = WorkKind.objects.create(name="Plumbing", rate=D(30))
    pattern = PlanPattern.objects.create(name="usual")
    PatternTask.objects.create(
        pattern=pattern, name="tubes", work_kind=kind, hours_low=D(1), hours_likely=D(2), hours_high=D(3)
    )
    issue = Quote.draft(job, spec, owner)
    assert [(x.text, x.amount) for x in issue.figures().work] == [("Plumbing", D("60.00"))]
    assert job.tasks.count() == 1


def test_one_draft_at_a_time(draft, job, spec, owner):
    with pytest.raises(Refused, match="being drafted already"):
        Quote.draft(job, spec, owner)
    assert Issue.objects.count() == 1


def test_who_drafted_it_is_recorded(draft, owner):
    assert AuditEntry.objects.filter(person=owner, verb="drafted", about="quote Q-0001 issue 1").exists()


def test_a_typed_price_stands_and_an_emptied_one_goes_back(draft, owner):
    line = draft.lines.get(text="pump part")
    line.change(owner, unit_price=D("125.5"), own_margin=None)
    assert prices(draft)["pump part"][1] == D("125.50")
    line.change(owner, unit_price=None, own_margin=D(50))
    assert prices(draft)["pump part"][1] == D("160.00")


def test_the_quotes_margin_moves_every_laid_out_part(draft, owner):
    draft.set_terms(owner, valid_until=in_days(5), promise=None, margin_percent=D(50))
    assert prices(draft)["pump part"][1] == D("160.00")
    assert prices(draft)["Fit-up"][1] == D(38)


def test_free_lines_add_and_take_off(draft, owner):
    draft.add_line(owner, kind=IssueLine.OTHER, text="courtesy", quantity=D(1), unit_price=D("-40"))
    assert draft.figures().totals.net == D("700.00")


def test_half_a_cent_below_zero_is_a_cent(draft, owner):
    draft.add_line(owner, kind=IssueLine.OTHER, text="rounding", quantity=D(1), unit_price=D("-0.005"))
    assert draft.figures().others[0].amount == D("-0.01")


def test_a_sum_no_column_holds_is_refused_with_its_line(draft, owner):
    draft.add_line(owner, kind=IssueLine.OTHER, text="moon", quantity=D("9999999"), unit_price=D("99999999"))
    with pytest.raises(Refused, match="“moon” comes to more than"):
        draft.figures()


def test_a_part_of_the_spec_leaves_by_the_spec(draft, owner):
    with pytest.raises(Refused, match="take it out there"):
        draft.lines.get(text="pump part").remove(owner)
    draft.lines.get(text="Testing").remove(owner)
    assert draft.figures().totals.net == D("540.00")


def test_laying_out_again_keeps_what_was_typed(draft, job, spec, owner):
    draft.lines.get(text="pump part").change(owner, unit_price=D(130))
    draft.lines.get(text="Testing").change(owner, quantity=D(7), unit_price=D(40))
    draft.add_line(owner, kind=IssueLine.OTHER, text="carriage", quantity=D(1), unit_price=D(25))
    put(spec, "valve", "4.00")
    draft.lay_again(spec, owner)
    assert prices(draft) == {
        "pump part": (D(1), D(130), D("130.00")),
        "fans part": (D(6), D("10.00"), D("60.00")),
        "valve part": (D(1), D("5.00"), D("5.00")),
        "Fit-up": (D(10), D(38), D("380.00")),
        "Testing": (D(7), D(40), D("280.00")),
        "carriage": (D(1), D(25), D("25.00")),
    }


def test_a_draft_thrown_away_leaves_no_quote_behind(draft, job, owner):
    draft.discard(owner)
    assert not job.quotes.exists()


def test_what_is_kept_is_the_owners_figure(draft):
    keep = draft.figures().keep
    assert (keep.parts_cost, keep.contribution, keep.per_hour) == (D("128.00"), D("612.00"), D("40.80"))
    assert (keep.hours_cost, keep.after_hours) == (D("225.00"), D("387.00"))


def test_the_margin_of_a_workshop_in_yen_is_whole(job, spec, owner):
    Workshop.objects.update(currency="JPY")
    spec.lines.first().part.prices.first().supplier.__class__.objects.update(currency="JPY")
    assert all(line.amount == line.amount.to_integral_value() for line in Quote.draft(job, spec, owner).figures().lines)


def test_the_promise_suggested_is_the_day_kept_four_times_in_five(draft, owner_client, job):
    """It is offered, with its reason, until the owner saves it; what he promised already is not talked over."""
    from builds.labour.foreseen import outlooks

    here = reverse("quotes:issue", args=[job.number, draft.quote.number, draft.number])
    most = outlooks([job])[job.pk].forecast.most
    form = owner_client.get(here).context["terms_form"]
    assert form.initial["promise"] == max(most, draft.valid_until)
    assert "four in five" in form.fields["promise"].help_text
    assert "not ordered" in form.fields["promise"].help_text
    assert draft.promise is None
    typed = once(version=form["version"].value(), valid_until=draft.valid_until.isoformat(), margin_percent="20",
                 promise=form.initial["promise"].isoformat(), included="", excluded="", terms="")  # fmt: skip
    assert owner_client.post(here + "terms/", typed).status_code == 302
    draft.refresh_from_db()
    assert draft.promise == form.initial["promise"]
    later = draft.promise + timedelta(days=30)
    draft.set_terms(None, valid_until=draft.valid_until, promise=later, margin_percent=draft.margin_percent)
    assert owner_client.get(here).context["terms_form"].initial["promise"] == later
