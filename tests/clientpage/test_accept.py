"""The client's own yes or no by his link."""

import threading

import pytest
from django.core import mail
from django.core.cache import cache
from django.core.mail.backends.locmem import EmailBackend
from django.db import connection
from django.test import Client
from django.utils import timezone

from builds.clientpage.models import Link
from builds.jobs.models import Stage
from builds.quotes.models import Issue, Quote
from builds.sheets.models import Document
from parts.workshop.models import AuditEntry
from tests.factories import JobFactory, PersonFactory, SpecVersionFactory, once

from .conftest import act

YES = {"name": "T. Oyelaran", "sure": "on"}


def test_name_time_and_address_are_kept_and_the_job_is_agreed(client, link, sent, job):
    answer = client.post(act(link, sent, "accept"), once(**YES), follow=True)
    sent.refresh_from_db()
    assert (sent.state, sent.decided_by, sent.decided_from) == ("accepted", "T. Oyelaran", "127.0.0.1")
    assert abs((timezone.now() - sent.decided_at).total_seconds()) < 60
    job.refresh_from_db()
    assert job.stage == Stage.AGREED
    assert AuditEntry.objects.get(verb="accepted").after["from"] == "127.0.0.1"
    assert "What was agreed" in answer.content.decode()


def test_a_copy_with_the_frozen_pdf_goes_to_client_and_workshop(client, link, sent, job, shop):
    job.client.email, shop.email = "t@post.example", "bench@quayside.example"
    job.client.save()
    shop.save()
    client.post(act(link, sent, "accept"), once(**YES))
    (letter,) = mail.outbox
    assert letter.recipients() == ["t@post.example", "bench@quayside.example"]
    name, pdf, kind = letter.attachments[0]
    assert (name, kind) == ("Q-0001-1.pdf", "application/pdf")
    assert pdf == sent.document.read()


def test_mail_that_fails_undoes_nothing(client, link, sent, job, monkeypatch):
    job.client.email = "t@post.example"
    job.client.save()

    def away(self, messages):
        raise ConnectionRefusedError

    monkeypatch.setattr(EmailBackend, "send_messages", away)
    assert client.post(act(link, sent, "accept"), once(**YES)).status_code == 302
    sent.refresh_from_db()
    assert sent.state == "accepted"


@pytest.mark.parametrize(("left_out", "said"), [("name", "Type your name"), ("sure", "Tick this")])
def test_without_name_or_tick_nothing_is_agreed(client, link, sent, left_out, said):
    data = once(**{key: value for key, value in YES.items() if key != left_out})
    answer = client.post(act(link, sent, "accept"), data)
    assert answer.status_code == 422
    assert said in answer.content.decode()
    sent.refresh_from_db()
    assert sent.state == "sent"
    assert not mail.outbox


@pytest.mark.parametrize("name", ["Ольга Ñandú", "محمد بن زيد", "名前 🐟", "O'Neil & <b>Söhne</b>", "\u202eevil"])
def test_names_of_any_script_are_kept_as_typed(client, link, sent, name):
    shown = client.post(act(link, sent, "accept"), once(name=name, sure="on"), follow=True).content.decode()
    sent.refresh_from_db()
    assert sent.decided_by == name
    assert "<b>Söhne" not in shown


def test_a_double_click_is_one_acceptance_and_one_letter(client, link, sent, job):
    job.client.email = "t@post.example"
    job.client.save()
    data = once(**YES)
    for _click in range(2):
        assert client.post(act(link, sent, "accept"), data).status_code == 302
    assert AuditEntry.objects.filter(verb="accepted").count() == 1
    assert len(mail.outbox) == 1


def test_a_second_tab_is_told_kindly(client, link, sent):
    client.post(act(link, sent, "accept"), once(**YES))
    answer = client.post(act(link, sent, "accept"), once(name="Somebody Else", sure="on"))
    assert answer.status_code == 409
    assert "by T. Oyelaran. It counts once; you need do nothing more" in answer.content.decode()
    sent.refresh_from_db()
    assert sent.decided_by == "T. Oyelaran"


def test_a_lapsed_offer_says_so(client, link, sent):
    Issue.objects.filter(pk=sent.pk).update(valid_until=timezone.localdate() - timezone.timedelta(days=1))
    answer = client.post(act(link, sent, "accept"), once(**YES))
    assert answer.status_code == 409
    assert "can no longer be accepted" in answer.content.decode()


def test_a_superseded_offer_points_to_the_newer_one(client, link, sent, job, spec, owner):
    Quote.draft(job, spec, owner).send(owner)
    shown = client.post(act(link, sent, "accept"), once(**YES)).content.decode()
    assert "A newer one has taken the place" in shown
    assert "A quote for you to decide" in shown
    assert act(link, sent, "paper") in shown


def test_no_thank_you_moves_nothing(client, link, sent, job):
    shown = client.post(act(link, sent, "decline"), once(reason="too dear"), follow=True).content.decode()
    sent.refresh_from_db()
    job.refresh_from_db()
    assert (sent.state, sent.reason, sent.decided_from) == ("declined", "too dear", "127.0.0.1")
    assert job.stage == Stage.QUOTED
    assert "declined" in shown
    assert client.post(act(link, sent, "accept"), once(**YES)).status_code == 409


def test_it_takes_a_csrf_mark(link, sent):
    strict = Client(enforce_csrf_checks=True)
    assert strict.post(act(link, sent, "accept"), once(**YES)).status_code == 403


@pytest.mark.django_db(transaction=True)
def test_of_many_at_once_one_is_taken_and_the_others_are_told():
    owner, job = PersonFactory(), JobFactory()
    pdf = Document.freeze(kind="quote", number="Q-0001", title="a quote", pdf=b"%PDF-")
    issue = Issue.objects.create(
        quote=Quote.objects.create(job=job, number=1), number=1, spec=SpecVersionFactory(job=job), state="sent",
        currency="EUR", margin_percent=15, net=0, tax=0, total=0, document=pdf,
        valid_until=timezone.localdate() + timezone.timedelta(days=9),
    )  # fmt: skip
    link, link.token = Link.make(job, owner)
    cache.clear()
    together, said, pages = threading.Barrier(8), [], []

    def accept(name):
        data, browser = once(name=name, sure="on"), Client()
        together.wait()
        try:
            answer = browser.post(act(link, issue, "accept"), data)
            said.append(answer.status_code)
            pages.append(answer.content.decode())
        finally:
            connection.close()

    threads = [threading.Thread(target=accept, args=(f"client {n}",)) for n in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(said) == [302] + [409] * 7
    assert sum("It counts once" in page for page in pages) == 7
    assert AuditEntry.objects.filter(verb="accepted").count() == 1


def test_an_offer_of_a_job_that_was_cancelled_is_no_longer_open(client, link, page, sent, job, owner):
    assert "Tick this" in client.post(act(link, sent, "accept"), once(name="T. Oyelaran")).content.decode()
    job.end(Stage.LOST, owner, "another workshop")
    shown = client.get(page).content.decode()
    assert act(link, sent, "accept") not in shown
    assert "Earlier offers" in shown
    late = client.post(act(link, sent, "accept"), once(**YES))
    assert "This job is closed and its offer with it" in late.content.decode()
    sent.refresh_from_db()
    assert sent.state == "sent"
