"""Sending freezes an issue."""

import hashlib
from decimal import Decimal as D

import pytest

from builds.checks.findings import STOP, Finding
from builds.jobs.models import Stage
from builds.quotes.models import Issue, IssueLine, Quote
from builds.sheets.models import Document
from parts.workshop.models import TaxRule
from parts.workshop.refusal import Refused

from .conftest import in_days, put


def test_it_is_stored_frozen_and_the_job_is_quoted(sent, job, spec):
    sent.refresh_from_db()
    job.refresh_from_db()
    spec.refresh_from_db()
    assert (sent.state, sent.net, sent.tax, sent.total) == ("sent", D(740), D(148), D(888))
    assert [line.amount for line in sent.lines.all()] == [D(100), D(60), D(380), D(200)]
    assert [stage.amount for stage in sent.stage_payments.all()] == [D(192), D(696)]
    assert job.stage == Stage.QUOTED
    assert spec.frozen_at
    assert sent.texts["tax_note"] == ""


def test_its_pdf_lies_under_its_own_hash_and_never_changes(sent, owner_client, shop):
    pdf = sent.document.read()
    assert pdf.startswith(b"%PDF")
    assert hashlib.sha256(pdf).hexdigest() == sent.document.sha256
    assert sent.document.data["total"] == "888.00"
    shop.name = "Another Name"
    shop.save()
    IssueLine.objects.update(text="changed behind its back")
    assert owner_client.get(f"/jobs/{sent.quote.job}/quote/{sent.quote}/1/pdf/").content == pdf


def test_costs_and_tax_that_change_later_change_nothing(sent):
    TaxRule.objects.update(percent=D(7))
    figures = Issue.objects.get(pk=sent.pk).figures()
    assert figures.totals.total == D(888)


def test_a_missing_price_is_named_by_its_role(job, spec, owner):
    put(spec, "side window", None)
    issue = Quote.draft(job, spec, owner)
    with pytest.raises(Refused, match="Price missing: side window"):
        issue.send(owner)
    issue.refresh_from_db()
    assert issue.state == "drafted"
    assert not Document.objects.exists()


def test_an_open_stop_is_said_in_full(draft, owner, stops):
    stops.append(Finding(STOP, "The radiator is 12 mm too thick.", "Choose a thinner one.", "stack", "common practice"))
    with pytest.raises(Refused, match=r"12 mm too thick\. Choose a thinner one"):
        draft.send(owner)


@pytest.mark.parametrize(
    ("until", "promise", "said"),
    [(-1, None, "until which it is valid"), (14, -1, "has passed"), (14, 5, "before the quote's validity ends")],
)
def test_impossible_dates_are_refused(draft, owner, until, promise, said):
    draft.valid_until, draft.promise = in_days(until), None if promise is None else in_days(promise)
    draft.save()
    with pytest.raises(Refused, match=said):
        draft.send(owner)


def test_a_spec_changed_since_is_taken_over_first(draft, spec, owner):
    put(spec, "valve", "4.00")
    with pytest.raises(Refused, match="spec has changed"):
        draft.send(owner)
    draft.lay_again(spec, owner)
    draft.send(owner)
    assert draft.total == D(894)


def test_stage_payments_that_do_not_add_up_are_refused(draft, owner):
    draft.stage_payments.get(basis="rest").remove(owner)
    with pytest.raises(Refused, match=r"come to 192\.00, the total is 888\.00"):
        draft.send(owner)


def test_a_sent_issue_stays_as_it_is(sent, owner):
    for change in (
        lambda: sent.send(owner),
        lambda: sent.discard(owner),
        lambda: sent.lines.first().change(owner, text="x"),
        lambda: sent.add_line(owner, kind="other", text="x", unit_price=D(1)),
        lambda: sent.stage_payments.first().change(owner, name="x"),
    ):
        with pytest.raises(Refused, match="stays as it is"):
            change()


def test_the_next_issue_copies_and_replaces_when_sent(sent, job, spec, owner):
    sent.lines.filter(text="Testing").update(remark="twice")
    second = Quote.draft(job, spec, owner)
    assert (second.number, second.promise) == (2, sent.promise)
    assert second.lines.get(text="Testing").remark == "twice"
    assert second.figures().totals.total == D(888)
    sent.refresh_from_db()
    assert sent.state == "sent"
    second.send(owner)
    sent.refresh_from_db()
    assert sent.state == "superseded"
    assert Document.objects.count() == 2


def test_no_sent_price_moves_in_the_next_issues_draft(sent, job, spec, owner):
    spec.lines.first().part.prices.update(price=D(999))
    assert Quote.draft(job, spec, owner).figures().totals.total == D(888)
