"""The quote sheet in a browser without JavaScript: draft, edit, send, accept."""

from decimal import Decimal as D

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from builds.quotes.models import Issue, IssueLine
from parts.workshop.models import Once
from tests.factories import once

from .conftest import in_days, put


def at(name, issue, *more):
    return reverse(f"quotes:{name}", args=[issue.quote.job.number, issue.quote.number, issue.number, *more])


def line_data(line, **changed):
    said = {"text": line.text, "remark": line.remark, "quantity": str(line.quantity), "unit": line.unit}
    return once(version=line.version, **{**said, **changed})


def terms_data(issue, **changed):
    said = {"valid_until": in_days(14), "promise": in_days(60), "margin_percent": "20", "included": "Assembly."}
    return once(version=Issue.objects.get(pk=issue.pk).version, **{**said, **changed})


@pytest.fixture
def sheet(owner_client, job):
    def read(**query):
        return owner_client.get(reverse("quotes:sheet", args=[job.number]), query).content.decode()

    return read


def test_an_empty_sheet_says_what_to_do_first(sheet):
    assert "put the parts in first" in sheet()


def test_a_spec_can_be_quoted(sheet, owner_client, job, spec, plan):
    assert "Draft the quote" in sheet()
    answer = owner_client.post(reverse("quotes:draft", args=[job.number]), once(), follow=True)
    assert answer.status_code == 200
    assert "888.00" in answer.content.decode()


def test_the_draft_shows_lines_sums_and_what_is_kept(sheet, draft):
    shown = sheet()
    for word in ("pump part", "Fit-up", "740.00", "tax 20 % of 740.00", "888.00", "contribution per hour", "40.80"):
        assert word in shown


def test_a_line_opens_for_change_on_its_own_address(owner_client, draft):
    line = draft.lines.get(text="pump part")
    shown = owner_client.get(at("line", draft, line.pk)).content.decode()
    assert 'name="unit_price"' in shown
    assert 'name="quantity"' not in shown.split("Save the line")[0]


def test_a_price_is_changed_in_the_workshops_way_of_writing(owner_client, draft):
    line = draft.lines.get(text="pump part")
    answer = owner_client.post(at("line", draft, line.pk), line_data(line, unit_price="€ 1.125,50"), follow=True)
    assert "1,125.50" in answer.content.decode()
    line.refresh_from_db()
    assert (line.unit_price, line.by_hand) == (D("1125.50"), True)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"unit_price": "1000000000000"}, "at most 8 digits before the point"),
        ({"unit_price": "ten"}, "Type an amount, as in"),
        ({"unit_price": "-3"}, "Type 0 or more"),
        ({"unit_price": "10", "own_margin": "20"}, "a price or a margin, not both"),
        ({"own_margin": "100"}, "Type 95 or less"),
        ({"text": ""}, "Fill this in"),
    ],
)
def test_what_cannot_be_is_said_at_its_field_and_stays_typed(owner_client, draft, typed, said):
    line = draft.lines.get(text="pump part")
    answer = owner_client.post(at("line", draft, line.pk), line_data(line, remark="my remark", **typed))
    shown = answer.content.decode()
    assert said in shown
    assert "my remark" in shown
    line.refresh_from_db()
    assert not line.by_hand


def test_a_form_opened_before_somebody_elses_change_is_stale(owner_client, draft, owner):
    line = draft.lines.get(text="pump part")
    stale = line_data(line, unit_price="90")
    first = owner_client.post(at("line", draft, line.pk), line_data(line, unit_price="110"))
    assert first.status_code == 302
    shown = owner_client.post(at("line", draft, line.pk), stale).content.decode()
    assert "Somebody changed this while you were typing" in shown
    assert "Now stored: 110" in shown
    line.refresh_from_db()
    assert line.unit_price == D(110)


def test_a_double_click_adds_one_line(owner_client, draft):
    data = {
        "new-once": Once.fresh(), "new-kind": "other", "new-text": "carriage", "new-quantity": "1",
        "new-unit_price": "25",
    }  # fmt: skip
    for _click in range(2):
        assert owner_client.post(at("add_line", draft), data).status_code == 302
    assert draft.lines.filter(text="carriage").count() == 1


def test_work_takes_its_kinds_rate(owner_client, draft, plan):
    kind = plan[0].work_kind
    data = {
        "new-once": Once.fresh(), "new-kind": "labour", "new-work_kind": kind.pk, "new-quantity": "1,5",
        "new-unit_price": "",
    }  # fmt: skip
    owner_client.post(at("add_line", draft), data)
    line = draft.lines.get(quantity=D("1.5"))
    assert (line.text, line.unit_price, line.unit_cost, line.unit) == ("Fit-up", D(38), D(15), "h")


def test_an_incomplete_line_says_what_to_type(owner_client, draft):
    data = {"new-once": Once.fresh(), "new-kind": "labour", "new-quantity": "-2", "new-text": "kept"}
    shown = owner_client.post(at("add_line", draft), data).content.decode()
    assert "Choose the kind of work" in shown
    assert "0.001" in shown
    assert 'value="kept"' in shown


def test_dates_and_texts(owner_client, draft):
    answer = owner_client.post(at("terms", draft), terms_data(draft, margin_percent="50"), follow=True)
    assert "160.00" in answer.content.decode()
    draft.refresh_from_db()
    assert (draft.promise, draft.included, draft.terms) == (in_days(60), "Assembly.", "")


def test_a_date_that_has_passed_is_said_at_its_field(owner_client, draft):
    shown = owner_client.post(at("terms", draft), terms_data(draft, promise=in_days(-1))).content.decode()
    assert "type one that lies ahead" in shown
    draft.refresh_from_db()
    assert draft.promise is None


def test_stage_payments_are_typed(owner_client, draft):
    data = {
        "new-stage-once": Once.fresh(), "new-stage-name": "Half way", "new-stage-basis": "percent",
        "new-stage-value": "25", "new-stage-due": "bench",
    }  # fmt: skip
    assert "222.00" in owner_client.post(at("add_stage", draft), data, follow=True).content.decode()
    bare = data | {"new-stage-once": Once.fresh(), "new-stage-value": ""}
    assert "Type how much" in owner_client.post(at("add_stage", draft), bare).content.decode()


def test_send_asks_once_then_freezes(owner_client, sheet, draft):
    assert "This freezes the issue at 888.00 EUR" in sheet()
    draft.refresh_from_db()
    answer = owner_client.post(at("send", draft), once(version=draft.version), follow=True)
    assert "is sent and frozen" in answer.content.decode()
    draft.refresh_from_db()
    assert draft.state == "sent"


def test_what_was_not_looked_at_is_not_sent(owner_client, draft, owner):
    seen = Issue.objects.get(pk=draft.pk).version
    draft.lines.get(text="pump part").change(owner, unit_price=D(1))
    shown = owner_client.post(at("send", draft), once(version=seen)).content.decode()
    assert "Somebody changed this" in shown
    draft.refresh_from_db()
    assert draft.state == "drafted"


def test_what_stands_in_the_way_is_listed(sheet, draft, spec):
    put(spec, "side window", None)
    shown = sheet()
    assert "The spec has changed since this draft was laid out" in shown
    assert "Freeze and send" not in shown


def test_acceptance_needs_name_and_tick(owner_client, sent):
    shown = owner_client.post(at("accept", sent), once(name="T. Oyelaran")).content.decode()
    assert "Tick this to go on" in shown
    assert 'value="T. Oyelaran"' in shown
    answer = owner_client.post(at("accept", sent), once(name="T. Oyelaran", sure="on"), follow=True)
    assert "is agreed" in answer.content.decode()


def test_a_second_acceptance_from_another_tab_is_told_who_was_first(owner_client, agreed):
    shown = owner_client.post(at("accept", agreed), once(name="Late", sure="on")).content.decode()
    assert "by T. Oyelaran already; nothing was changed" in shown
    agreed.refresh_from_db()
    assert agreed.decided_by == "T. Oyelaran"


def test_the_same_acceptance_sent_twice_stands_once(owner_client, sent):
    data = once(name="T. Oyelaran", sure="on")
    for _click in range(2):
        assert owner_client.post(at("accept", sent), data).status_code == 302


def test_sending_from_an_old_tab_says_that_it_is_sent(owner_client, sent):
    shown = owner_client.post(at("send", sent), once(version=sent.version)).content.decode()
    assert "is sent and stays as it is" in shown


def test_a_decline_keeps_its_reason(owner_client, sent):
    shown = owner_client.post(at("decline", sent), once(reason="too dear"), follow=True).content.decode()
    assert "too dear" in shown
    assert "Draft a new issue" in shown


def test_a_discarded_draft_is_gone(owner_client, draft):
    shown = owner_client.post(at("discard", draft), once(), follow=True).content.decode()
    assert "thrown away" in shown
    assert not Issue.objects.exists()


def test_htmx_gets_the_piece_alone(owner_client, draft):
    shown = owner_client.get(at("issue", draft), headers={"HX-Request": "true"}).content.decode()
    assert "<html" not in shown
    assert "pump part" in shown


def test_the_workshop_role_sees_no_price(helper_client, draft, job):
    for address in (reverse("quotes:sheet", args=[job.number]), reverse("quotes:money", args=[job.number])):
        assert helper_client.get(address).status_code == 403
    for name in ("issue", "pdf"):
        assert helper_client.get(at(name, draft)).status_code == 403


def test_markup_in_texts_is_shown_as_typed(owner_client, draft, owner):
    draft.lines.get(text="pump part").change(owner, text="<script>alert(1)</script>", remark="</td>")
    shown = owner_client.get(at("issue", draft)).content.decode()
    assert "<script>alert" not in shown
    assert "&lt;script&gt;alert" in shown


def test_a_sum_too_large_leaves_the_page_open_to_mend(owner_client, draft, owner):
    line = draft.add_line(owner, kind=IssueLine.OTHER, text="moon", quantity=D("9999999"), unit_price=D("99999999"))
    shown = owner_client.get(at("issue", draft)).content.decode()
    assert "“moon” comes to more than" in shown
    assert owner_client.get(at("line", draft, line.pk)).status_code == 200
    assert owner_client.get(at("pdf", draft)).status_code == 302


def test_queries_do_not_grow_with_lines(owner_client, draft, spec, owner):
    owner_client.get(at("issue", draft))  # the database's own first questions
    with CaptureQueriesContext(connection) as few:
        owner_client.get(at("issue", draft))
    for n in range(12):
        put(spec, f"role {n}", "3.00")
    draft.lay_again(spec, owner)
    owner_client.get(at("issue", draft))  # keeps the forecast, which every change has made anew
    with CaptureQueriesContext(connection) as many:
        owner_client.get(at("issue", draft))
    assert len(many) == len(few) <= 40
