"""The client's yes or no."""

import threading
from datetime import timedelta
from decimal import Decimal as D

import pytest
from django.db import connection
from django.utils import timezone

from builds.jobs.models import Stage
from builds.quotes.bills import Bill
from builds.quotes.models import Issue, Quote
from builds.specs.models import SpecVersion
from parts.workshop.models import AuditEntry
from parts.workshop.refusal import Refused
from tests.factories import JobFactory, PersonFactory, SpecVersionFactory

HUNDRED = 100


def test_it_fixes_spec_promise_hours_and_stage(agreed, job, spec, plan):
    job.refresh_from_db()
    assert (agreed.state, agreed.decided_by) == ("accepted", "T. Oyelaran")
    assert (job.stage, job.promise) == (Stage.AGREED, agreed.promise)
    assert SpecVersion.objects.agreed_for(job) == spec
    assert Issue.objects.agreed_for(job) == agreed
    assert [task.quoted_hours for task in job.tasks.all()] == [D(4), D(6), D(5)]


def test_the_first_stage_payment_falls_due(agreed, job):
    assert Bill.objects.amount_due([job]) == {job.pk: D(192)}


def test_hours_typed_in_the_quote_are_shared_over_the_tasks(draft, job, owner):
    draft.lines.get(text="Fit-up").change(owner, quantity=D("5"), unit_price=D(38))
    draft.send(owner)
    draft.accept(owner, "T. Oyelaran")
    assert [task.quoted_hours for task in job.tasks.all()] == [D(2), D(3), D(5)]


def test_a_second_acceptance_is_refused_kindly(agreed, owner):
    with pytest.raises(Refused, match=r"was accepted on .* by T. Oyelaran already; nothing was changed"):
        agreed.accept(owner, "Somebody Else")
    agreed.refresh_from_db()
    assert agreed.decided_by == "T. Oyelaran"


def test_a_name_is_needed(sent, owner):
    with pytest.raises(Refused, match="name of who accepts") as said:
        sent.accept(owner, "  ")
    assert said.value.field == "name"


def test_a_draft_cannot_be_accepted(draft, owner):
    with pytest.raises(Refused, match="not sent yet"):
        draft.accept(owner, "T. Oyelaran")


def test_a_lapsed_issue_cannot_be_accepted(sent, owner):
    Issue.objects.filter(pk=sent.pk).update(valid_until=timezone.localdate() - timedelta(days=1))
    with pytest.raises(Refused, match="has lapsed; make a new issue"):
        sent.accept(owner, "T. Oyelaran")
    assert sent.standing == "lapsed"


def test_on_its_last_day_it_still_can(sent, owner):
    Issue.objects.filter(pk=sent.pk).update(valid_until=timezone.localdate())
    sent.accept(owner, "T. Oyelaran")
    assert sent.state == "accepted"


def test_a_superseded_issue_cannot_be_accepted(sent, job, spec, owner):
    Quote.draft(job, spec, owner).send(owner)
    with pytest.raises(Refused, match="replaced by a later one"):
        sent.accept(owner, "T. Oyelaran")


def test_a_declined_issue_keeps_its_reason_and_cannot_be_accepted(sent, owner, job):
    sent.decline(owner, "too dear")
    assert (sent.state, sent.reason) == ("declined", "too dear")
    job.refresh_from_db()
    assert job.stage == Stage.QUOTED
    with pytest.raises(Refused, match="was declined"):
        sent.accept(owner, "T. Oyelaran")


def test_once_agreed_a_new_issue_is_a_variation(agreed, job, spec, owner):
    with pytest.raises(Refused, match="raise a variation"):
        Quote.draft(job, spec, owner)


def test_the_client_himself_may_accept(sent):
    sent.accept(None, "T. Oyelaran")
    assert AuditEntry.objects.get(verb="accepted").person is None


@pytest.mark.django_db(transaction=True)
def test_of_a_hundred_at_once_exactly_one_acceptance_stands():
    owner, job = PersonFactory(), JobFactory()
    quote = Quote.objects.create(job=job, number=1)
    issue = Issue.objects.create(
        quote=quote, number=1, spec=SpecVersionFactory(job=job), state="sent", currency="EUR", margin_percent=D(15),
        valid_until=timezone.localdate() + timedelta(days=9),
    )  # fmt: skip
    together, said = threading.Barrier(HUNDRED), []

    def accept(name):
        mine = Issue.objects.get(pk=issue.pk)
        together.wait()
        try:
            mine.accept(owner, name)
            said.append(name)
        except Refused as refusal:
            said.append(refusal.message)
        finally:
            connection.close()

    threads = [threading.Thread(target=accept, args=(f"client {n}",)) for n in range(HUNDRED)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    won = [word for word in said if word.startswith("client")]
    assert len(won) == 1
    assert sum("accepted on" in word for word in said) == HUNDRED - 1
    issue.refresh_from_db()
    assert issue.decided_by == won[0]
    assert AuditEntry.objects.filter(verb="accepted").count() == 1
