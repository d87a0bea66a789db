"""Prices by rule: margin or mark-up by kind and supplier, handling of the client's own, caps, per cent lines."""

import doctest
from decimal import Decimal as D

import pytest
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from builds.labour.hours import HoursEntry
from builds.quotes import rules
from builds.quotes.comparing import compare
from builds.quotes.models import IssueLine, Quote
from builds.quotes.pricing import per_cent_of
from builds.quotes.rules import MARGIN, MARKUP, PriceRule, Rule, fitting
from parts.suppliers.models import Supplier
from tests.factories import SupplierFactory, once
from tests.sheets.reading import text_of

from .conftest import put
from .test_earning import log

KINDS, SUPPLIERS = ["", "fan", "pump"], [None, 1, 2]


@pytest.fixture
def mixed(job):
    """A pump at 80.00 and six fans at 8.00, each of its kind."""
    from tests.factories import SpecVersionFactory

    made = SpecVersionFactory(job=job, number=1)
    put(made, "pump", "80.00", kind="pump")
    put(made, "fans", "8.00", quantity=6, kind="fan")
    return made


def prices(issue):
    return {line.role.name: line.unit_price for line in issue.figures().parts}


def test_the_examples_in_its_docstrings():
    assert not doctest.testmod(rules).failed


@given(st.lists(st.builds(Rule, st.sampled_from(KINDS), st.sampled_from(SUPPLIERS), st.just(MARGIN), st.just(D(1)))))
def test_the_rule_that_names_most_is_taken_whatever_their_order(some):
    found = fitting(some, "fan", 1)
    fits = [rule for rule in some if rule.kind in ("", "fan") and rule.supplier in (None, 1)]
    assert (found is None) == (not fits)
    if found:
        weight = [(rule.supplier is not None, rule.kind != "") for rule in fits]
        assert (found.supplier is not None, found.kind != "") == max(weight)
    assert fitting(some[::-1], "fan", 1) == found


def test_a_mark_up_on_fans_alone(mixed, plan, job, owner):
    """By hand: the pump by the usual margin of 20 %, 80 / 0.8; fans 8 + 25 %."""
    PriceRule.objects.create(kind="fan", basis=MARKUP, percent=D(25))
    assert prices(Quote.draft(job, mixed, owner)) == {"pump": D(100), "fans": D(10)}
    PriceRule.objects.update(percent=D(50))
    assert prices(job.quotes.get().issues.get()) == {"pump": D(100), "fans": D(10)}, "a draft keeps its rule"


def test_a_suppliers_rule_goes_before_the_kinds(mixed, plan, job, owner):
    seller = mixed.lines.get(role__name="fans").part.prices.get().supplier
    PriceRule.objects.create(kind="fan", basis=MARKUP, percent=D(25))
    PriceRule.objects.create(supplier=seller, basis=MARGIN, percent=D(50))
    assert prices(Quote.draft(job, mixed, owner)) == {"pump": D(100), "fans": D(16)}


def test_a_lines_own_margin_goes_before_any_rule(mixed, plan, job, owner):
    PriceRule.objects.create(kind="fan", basis=MARKUP, percent=D(25))
    issue = Quote.draft(job, mixed, owner)
    fans = issue.lines.get(role__name="fans")
    fans.change(owner, own_margin=D(60), unit_price=None)
    assert prices(issue)["fans"] == D(20)


def test_the_sheet_says_which_rule_made_a_price(mixed, plan, job, owner, owner_client):
    PriceRule.objects.create(kind="fan", basis=MARKUP, percent=D(25))
    Quote.draft(job, mixed, owner)
    assert "mark-up 25 %" in owner_client.get(reverse("quotes:sheet", args=[job.number])).content.decode()


def test_the_page_of_rules_adds_changes_and_takes_away(owner_client):
    here = reverse("quotes:rules")
    assert "No rule yet" in owner_client.get(here).content.decode()
    owner_client.post(reverse("quotes:add_rule"), once(kind="fan", supplier="", basis="markup", percent="25"))
    rule = PriceRule.objects.get()
    assert "fan" in owner_client.get(here).content.decode().lower()
    edit = reverse("quotes:edit_rule", args=[rule.pk])
    owner_client.post(edit, once(version=rule.version, kind="fan", supplier="", basis="margin", percent="12,5"))
    rule.refresh_from_db()
    assert (rule.basis, rule.percent) == ("margin", D("12.5"))
    owner_client.post(reverse("quotes:remove_rule", args=[rule.pk]), once())
    assert not PriceRule.objects.exists()


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"kind": "fan", "basis": "margin", "percent": "96"}, "at most 95"),
        ({"kind": "", "basis": "margin", "percent": "10"}, "Choose a kind of part or a supplier"),
        ({"kind": "fan", "basis": "markup", "percent": "-1"}, "percent"),
        ({"kind": "pump", "basis": "markup", "percent": "10"}, "There is a rule for these already"),
    ],
)
def test_what_makes_no_rule_is_said(owner_client, typed, said):
    PriceRule.objects.create(kind="pump", basis=MARGIN, percent=D(10))
    answer = owner_client.post(reverse("quotes:add_rule"), once(supplier="", **typed))
    assert answer.status_code == 200
    assert said in str(answer.context["form"].errors)
    assert PriceRule.objects.count() == 1


def test_a_helper_sees_no_rule(helper_client):
    for name in ("rules", "add_rule"):
        assert helper_client.get(reverse(f"quotes:{name}")).status_code == 403


def test_rules_go_with_their_supplier(mixed):
    seller = SupplierFactory()
    PriceRule.objects.create(supplier=seller, basis=MARGIN, percent=D(50))
    Supplier.objects.filter(pk=seller.pk).delete()
    assert not PriceRule.objects.exists()


def test_what_the_client_brings_is_handled_at_the_workshops_charge(mixed, plan, job, owner, shop):
    mixed.lines.filter(role__name="pump").update(client_supplied=True)
    shop.handling_charge = D("35.00")
    shop.save()
    issue = Quote.draft(job, mixed, owner)
    (line,) = issue.figures().others
    assert (line.text, line.amount) == ("Handling of your own: pump part", D(35))
    assert [part.amount for part in issue.figures().parts if part.client_supplied] == [0]
    issue.lay_again(mixed, owner)
    assert len(issue.figures().others) == 1


def test_without_a_charge_there_is_no_line(mixed, plan, job, owner):
    mixed.lines.filter(role__name="pump").update(client_supplied=True)
    assert not Quote.draft(job, mixed, owner).figures().others


def line_address(issue, line=None):
    here = reverse("quotes:issue", args=[issue.quote.job.number, issue.quote.number, issue.number])
    return f"{here}lines/{line.pk}/" if line else f"{here}lines/"


def work(issue, name="Fit-up"):
    return issue.lines.get(work_kind__name=name)


def test_an_estimate_has_a_cap_and_says_so_on_paper(draft, owner, owner_client):
    line = work(draft)
    typed = once(
        version=line.version, quantity="10", unit_price="38", unit_cost="15", cap="456", text="Fit-up", remark=""
    )
    assert owner_client.post(line_address(draft, line), typed).status_code == 302
    pdf = owner_client.get(
        reverse("quotes:pdf", args=[draft.quote.job.number, draft.quote.number, draft.number])
    ).content
    assert "an estimate: the hours worked count, at most 456.00" in text_of(pdf)
    draft.lay_again(draft.spec, owner)
    assert work(draft).cap == D(456)


def test_a_cap_below_the_estimate_is_refused_at_its_field(draft, owner_client):
    line = work(draft)
    typed = once(version=line.version, quantity="10", unit_price="38", cap="379.99", text="Fit-up", remark="kept")
    answer = owner_client.post(line_address(draft, line), typed)
    assert "The estimate itself comes to more" in str(answer.context["line_form"].errors["cap"])
    assert "kept" in answer.content.decode()


def test_the_money_sheet_says_what_an_estimate_comes_to(draft, plan, job, owner, owner_client):
    """By hand: 11 h at 38.00 are 418.00; 20 h would be 760.00, and the cap of 456.00 holds."""
    line = work(draft)
    line.change(owner, cap=D(456), quantity=D(10), unit_price=D(38))
    draft.send(owner)
    draft.accept(owner, "T. Oyelaran")
    log(plan[0], owner, 11)
    assert {row.name: row.by_hours for row in compare(job).work} == {"Fit-up": D(418), "Testing": None}
    assert "418.00 by the hours logged" in owner_client.get(reverse("quotes:money", args=[job.number])).content.decode()
    HoursEntry.objects.all().delete()
    log(plan[0], owner, 20)
    assert compare(job).work[0].by_hours == D(456)


def test_five_per_cent_off_follows_the_lines_until_it_is_sent(draft, owner, owner_client):
    typed = {
        f"new-{name}": value
        for name, value in once(
            kind="other", text="For an old friend", quantity="1", percent="-5", unit_price="", work_kind=""
        ).items()
    }
    typed["once"] = typed["new-once"]
    assert owner_client.post(line_address(draft), typed).status_code == 302
    assert draft.figures().totals.net == D("703.00")  # 740.00 less 37.00
    draft.lines.get(role__name="pump").change(owner, unit_price=D(200))
    assert draft.figures().others[0].amount == D("-42.00")
    draft.send(owner)
    assert IssueLine.objects.get(issue=draft, kind="other").amount == D("-42.00")
    assert "5 % off the other lines" in text_of(draft.document.read())
    assert draft.figures().totals.net == D("798.00")


@given(base=st.decimals(0, 10**7, places=2), percent=st.decimals(-100, 100, places=2))
def test_per_cent_of_a_base_is_the_nearest_cent(base, percent):
    assert abs(per_cent_of(base, percent, "EUR") - base * percent / 100) <= D("0.005")


def test_a_price_and_a_per_cent_exclude_each_other(draft, owner_client):
    typed = {
        f"new-{name}": value
        for name, value in once(kind="other", text="x", quantity="1", percent="5", unit_price="3", work_kind="").items()
    }
    typed["once"] = typed["new-once"]
    answer = owner_client.post(line_address(draft), typed)
    assert "not both" in str(answer.context["new_line_form"].errors["percent"])
