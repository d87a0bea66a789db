"""The client's papers by e-mail: an offer as it is sent, a bill as it is raised, and again at the touch of a button."""

import pytest
from django.core import mail
from django.core.mail.backends.locmem import EmailBackend
from django.urls import reverse

from builds.quotes.bills import Bill
from builds.quotes.models import StagePayment
from parts.workshop.models import AuditEntry
from tests.factories import once

from .conftest import in_days

THEIRS = "t@post.example"


@pytest.fixture
def reachable(job):
    job.client.email = THEIRS
    job.client.save()
    return job


@pytest.fixture
def ready(draft, owner):
    draft.set_terms(owner, valid_until=in_days(14), promise=in_days(60), margin_percent=draft.margin_percent)
    draft.refresh_from_db()
    return draft


@pytest.fixture
def deposit(agreed, job):
    return StagePayment.objects.agreed([job]).order_by("position").first()


@pytest.fixture
def bill(deposit, owner):
    return Bill.raise_for(deposit, owner, in_days(14))


def at(name, job, *numbers):
    return reverse(f"quotes:{name}", args=[job.number, *numbers])


def send(client, issue, **data):
    path = at("send", issue.quote.job, issue.quote.number, issue.number)
    return client.post(path, once(version=issue.version, **data), follow=True).content.decode()


def test_sending_brings_the_frozen_pdf_to_the_client(owner_client, reachable, ready):
    assert f"send its PDF by e-mail to {THEIRS}" in owner_client.get(at("sheet", reachable)).content.decode()
    assert f"It went by e-mail to {THEIRS}" in send(owner_client, ready, by_mail="on")
    ready.refresh_from_db()
    (letter,) = mail.outbox
    assert letter.recipients() == [THEIRS]
    assert letter.attachments[0][:] == ("Q-0001-1.pdf", ready.document.read(), "application/pdf")
    assert "our offer" in letter.body
    assert "888.00 EUR" in letter.body
    assert AuditEntry.objects.get(verb="mailed").after == {"to": THEIRS}


def test_without_the_tick_no_letter_goes(owner_client, reachable, ready):
    assert "is sent and frozen" in send(owner_client, ready)
    assert not mail.outbox


def test_without_an_address_there_is_no_tick_and_a_forged_one_mails_nobody(owner_client, ready):
    assert "send its PDF" not in owner_client.get(at("sheet", ready.quote.job)).content.decode()
    assert "is sent and frozen" in send(owner_client, ready, by_mail="on")
    assert not mail.outbox


def test_a_double_click_is_one_letter(owner_client, reachable, ready):
    data = once(version=ready.version, by_mail="on")
    for _click in range(2):
        owner_client.post(at("send", reachable, ready.quote.number, 1), data)
    assert len(mail.outbox) == 1


def test_a_mail_host_that_is_away_undoes_no_sending_and_says_so(owner_client, reachable, ready, monkeypatch):
    def away(self, messages):
        raise ConnectionRefusedError

    monkeypatch.setattr(EmailBackend, "send_messages", away)
    assert "The e-mail did not go" in send(owner_client, ready, by_mail="on")
    ready.refresh_from_db()
    assert ready.state == "sent"
    assert not AuditEntry.objects.filter(verb="mailed").exists()


def test_what_waits_is_mailed_again_and_what_is_agreed_as_a_copy(owner_client, reachable, sent, owner):
    path = at("mail_issue", reachable, sent.quote.number, sent.number)
    assert f"It went by e-mail to {THEIRS}" in owner_client.post(path, once(), follow=True).content.decode()
    sent.accept(owner, "T. Oyelaran")
    owner_client.post(path, once())
    offer, copy = mail.outbox
    assert "our offer" in offer.body
    assert "was accepted on" in copy.body
    assert offer.attachments[0][1] == copy.attachments[0][1] == sent.document.read()


def test_a_declined_or_drafted_issue_is_not_mailed(owner_client, reachable, ready, owner):
    path = at("mail_issue", reachable, ready.quote.number, ready.number)
    assert "only an offer that counts is mailed" in owner_client.post(path, once(), follow=True).content.decode()
    ready.send(owner)
    ready.decline(owner, "too dear")
    assert "only an offer that counts is mailed" in owner_client.post(path, once(), follow=True).content.decode()
    assert not mail.outbox


def test_raising_a_bill_brings_it_to_the_client(owner_client, reachable, deposit):
    path = at("raise_bill", reachable, deposit.pk)
    shown = owner_client.post(path, once(due_on=in_days(7), by_mail="on"), follow=True).content.decode()
    assert f"It went by e-mail to {THEIRS}" in shown
    made, (letter,) = Bill.objects.get(), mail.outbox
    assert letter.subject == "B-0001, Flight-deck simulator"
    assert "192.00 EUR, to be paid by" in letter.body
    assert letter.attachments[0][1] == made.document.read()


def test_so_does_a_credit_note(owner_client, reachable, bill):
    data = once(amount="12", reason="scratched panel", by_mail="on")
    owner_client.post(at("give_back", reachable, bill.number), data)
    assert "credit note B-0002" in mail.outbox[0].body
    assert "you get back 12.00 EUR" in mail.outbox[0].body


def test_an_overdue_bill_is_reminded_of_with_what_is_still_open(owner_client, reachable, bill, owner):
    bill.record_payment(owner, 100, in_days(0))
    Bill.objects.filter(pk=bill.pk).update(due_on=in_days(-1))
    shown = owner_client.get(at("money", reachable), {"bill": bill.number}).content.decode()
    assert "overdue" in shown
    assert "Remind the client by e-mail" in shown
    owner_client.post(at("mail_bill", reachable, bill.number), once())
    (letter,) = mail.outbox
    assert letter.subject.startswith("Reminder: B-0001")
    assert "92.00 EUR of it are still open" in letter.body


def test_a_subject_cannot_be_stretched_by_a_title(owner_client, reachable, sent):
    type(reachable).objects.filter(pk=reachable.pk).update(title="Rig\r\nBcc: all@post.example")
    owner_client.post(at("mail_issue", reachable, sent.quote.number, sent.number), once())
    (letter,) = mail.outbox
    assert letter.recipients() == [THEIRS]
    assert "\n" not in letter.subject


def test_a_helper_mails_nothing(helper_client, reachable, sent, bill):
    for path in (at("mail_issue", reachable, sent.quote.number, 1), at("mail_bill", reachable, bill.number)):
        assert helper_client.post(path, once()).status_code in (403, 404)
    assert not mail.outbox
