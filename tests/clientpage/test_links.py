"""Private links: made, shown once, withdrawn, run out, guessed."""

import hashlib
from datetime import timedelta

import pytest
from django.core import mail
from django.core.cache import cache
from django.urls import reverse
from django.utils import timezone

from builds.clientpage.models import Link, Opening
from parts.workshop.models import AuditEntry
from parts.workshop.refusal import Refused
from tests.factories import JobFactory, once
from tests.quotes.conftest import in_days


@pytest.fixture
def sheet(job):
    return reverse("links:sheet", args=[job.number])


def test_only_the_hash_of_a_token_of_256_bits_is_kept(link):
    assert len(link.token) == 43  # 32 bytes in base 64 without padding (RFC 4648)
    kept = Link.objects.values().get()
    assert kept["token_sha256"] == hashlib.sha256(link.token.encode()).hexdigest()
    assert link.token not in str(kept)
    assert link.token not in str(list(AuditEntry.objects.values()))


def test_it_is_made_on_the_sheet_and_shown_once(owner_client, sheet, sent, client):
    data = once(whom="the pilot", expires_on=in_days(30))
    shown = owner_client.post(sheet, data).content.decode()
    address = shown.split('id="address" value="http://testserver')[1].split('"')[0]
    assert client.get(address).status_code == 200
    again = owner_client.post(sheet, data, follow=True).content.decode()
    assert 'id="address"' not in again
    assert Link.objects.count() == 1
    assert "the pilot" in again
    assert "1 ×" in again


@pytest.mark.parametrize("days", [-1, 800])
def test_its_end_is_a_day_ahead_and_not_for_ever(job, owner, days):
    with pytest.raises(Refused, match="at most two years"):
        Link.make(job, owner, in_days(days))


def test_it_goes_by_mail_where_there_is_an_address(owner_client, sheet, job):
    assert "by_mail" not in owner_client.get(sheet).content.decode()
    job.client.email = "t@post.example"
    job.client.save()
    shown = owner_client.post(sheet, once(expires_on=in_days(30), by_mail="on")).content.decode()
    assert "It went by e-mail to t@post.example" in shown
    assert "http://testserver/c/" in mail.outbox[0].body


def test_the_letter_brings_the_offer_that_waits(owner_client, sheet, sent, job):
    job.client.email = "t@post.example"
    job.client.save()
    owner_client.post(sheet, once(expires_on=in_days(30), by_mail="on"))
    assert mail.outbox[0].attachments[0][:] == ("Q-0001-1.pdf", sent.document.read(), "application/pdf")


def test_a_withdrawn_link_opens_nothing(owner_client, client, link, page, sheet, job):
    owner_client.post(reverse("links:revoke", args=[job.number, link.pk]), once())
    answer = client.get(page)
    assert answer.status_code == 410
    assert "was withdrawn" in answer.content.decode()
    assert job.title not in answer.content.decode()
    assert "withdrawn" in owner_client.get(sheet).content.decode()
    assert not Opening.objects.exists()


def test_a_link_runs_out(client, link, page, job):
    Link.objects.update(expires_on=timezone.localdate() - timedelta(days=1))
    answer = client.get(page)
    assert answer.status_code == 410
    assert "has run out" in answer.content.decode()
    assert job.title not in answer.content.decode()


@pytest.mark.parametrize("guess", ["a" * 43, "none", "x" * 300, "%F0%9F%92%A7", "..%00"])
def test_a_guess_finds_nothing_and_learns_nothing(client, link, guess):
    answer = client.get(f"/c/{guess}/")
    assert answer.status_code == 404
    assert "opens nothing" in answer.content.decode()


def test_guessing_is_slowed_down_for_one_address_alone(client, page, sent):
    said = [client.get(f"/c/{'b' * 40}{n:03}/").status_code for n in range(25)]
    assert said == [404] * 20 + [429] * 5
    assert client.get(page).status_code == 200


def test_a_link_opened_without_end_is_slowed_down(client, page, link, sent):
    cache.set(f"client-page:link:{link.pk}", 240, 60)
    answer = client.get(page)
    assert answer.status_code == 429
    assert "Wait five minutes" in answer.content.decode()


def test_nobody_keeps_or_indexes_it_and_no_cookie_follows(client, page, sent):
    answer = client.get(page)
    assert "no-store" in answer["Cache-Control"]
    assert "noindex" in answer["X-Robots-Tag"]
    assert answer["Referrer-Policy"] == "same-origin"
    assert set(answer.cookies) <= {"csrftoken"}


def test_each_opening_is_written_down(client, page, link, sent):
    client.get(page, headers={"user-agent": "a telephone"})
    opening = link.openings.get()
    assert (opening.address, opening.browser) == ("127.0.0.1", "a telephone")


def test_a_helper_sees_no_links(helper_client, sheet, link, job):
    assert helper_client.get(sheet).status_code == 403
    assert helper_client.post(reverse("links:revoke", args=[job.number, link.pk]), once()).status_code == 403
    link.refresh_from_db()
    assert link.is_open


def test_a_link_is_withdrawn_under_its_own_job_only(owner_client, link):
    other = JobFactory()
    assert owner_client.post(reverse("links:revoke", args=[other.number, link.pk]), once()).status_code == 404
