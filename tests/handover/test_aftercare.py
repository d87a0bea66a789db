"""After-care: dates marked done, mailed once, in a calendar that others can read."""

import datetime
import re

import pytest
from django.core import mail
from django.core.management import CommandError, call_command
from django.urls import reverse
from django.utils import timezone

from builds.handover.aftercare import CalendarLink, CareDate
from builds.handover.models import Pack
from builds.jobs.models import Job
from builds.sheets import letters
from parts.shelf.models import months_later
from parts.workshop.models import AuditEntry, Workshop
from parts.workshop.refusal import Refused
from tests.factories import ClientFactory, JobFactory, once

pytestmark = pytest.mark.django_db


@pytest.fixture
def today():
    return timezone.localdate()


@pytest.fixture
def job(owner):
    long_ago = timezone.now() - datetime.timedelta(days=400)
    return JobFactory(title="Cutting-room machine", stage="handed_over", opened_at=long_ago, handed_over_at=long_ago,
                      client=ClientFactory(name="Studio Halvorsen", email="studio@example.org"))  # fmt: skip


@pytest.fixture
def shop():
    shop = Workshop.current()
    shop.email, shop.name = "bench@example.org", "The bench"
    shop.save()
    return shop


@pytest.fixture
def pack(job, owner, today):
    from builds.sheets.models import Document

    paper = Document.objects.create(kind="pack", number=str(job), issue=1, title="pack", sha256="0" * 64)
    return Pack.objects.create(job=job, document=paper, received_by="A. H.", person=owner, reminders_since=today)


def care_of(job, due, what="change the coolant", months=12):
    return CareDate.objects.create(job=job, due=due, what=what, months=months)


def test_what_is_done_comes_again_so_many_months_later(helper, job, today):
    care = care_of(job, today - datetime.timedelta(days=3))
    following = care.mark_done(helper, today, "clear, no flakes")
    assert (following.due, following.months) == (months_later(today, 12), 12)
    assert list(CareDate.objects.open()) == [following]
    entry = AuditEntry.objects.get(verb="care done")
    assert (entry.person, entry.after["remark"]) == (helper, "clear, no flakes")


def test_what_is_done_once_does_not_come_again(helper, job, today):
    assert care_of(job, today, "fill and bleed", None).mark_done(helper) is None
    assert not CareDate.objects.open().exists()


@pytest.mark.parametrize(("days", "words"), [(1, "still to come"), (-500, "before the machine was handed over")])
def test_a_day_that_cannot_be_is_refused(helper, job, today, days, words):
    care = care_of(job, today)
    with pytest.raises(Refused, match=words):
        care.mark_done(helper, today + datetime.timedelta(days=days))


def test_care_is_counted_from_the_day_on_the_receipt(helper, pack, job, today):
    """A hand-over is often written down days later; what was done in between was done after it all the same."""
    Job.objects.filter(pk=job.pk).update(handed_over_at=timezone.now())
    Pack.objects.filter(pk=pack.pk).update(on=today - datetime.timedelta(days=5))
    care_of(job, today).mark_done(helper, today - datetime.timedelta(days=2))
    with pytest.raises(Refused, match="before the machine was handed over"):
        care_of(job, today, "dust").mark_done(helper, today - datetime.timedelta(days=6))


def test_done_twice_is_refused(helper, job, today):
    care = care_of(job, today)
    care.mark_done(helper)
    with pytest.raises(Refused, match="already"):
        care.mark_done(helper)
    assert CareDate.objects.count() == 2


def test_a_helper_marks_it_done_on_its_page(helper_client, job, today):
    care = care_of(job, today)
    address = reverse("handover:care_done", args=[care.pk])
    assert "Mains off and unplugged" in helper_client.get(address).content.decode()
    assert helper_client.post(address, once(on=today.isoformat(), remark="")).url == reverse(
        "handover:life", args=[job.number]
    )
    wrong = helper_client.post(reverse("handover:care_done", args=[CareDate.objects.open().get().pk]),
                               once(on="2099-01-01"))  # fmt: skip
    assert "still to come" in str(wrong.context["form"].errors["on"])


def test_today_leads_to_the_machine(helper_client, job, today):
    care_of(job, today)
    html = helper_client.get(reverse("board:today")).content.decode()
    assert reverse("handover:life", args=[job.number]) in html
    assert reverse("handover:care") in html


def test_a_client_who_agreed_and_the_workshop_are_told_once(shop, pack, job, today):
    care_of(job, today + datetime.timedelta(days=10))
    care_of(job, today + datetime.timedelta(days=60), "clean dust")
    call_command("remind", verbosity=0)
    by_address = {letter.to[0]: letter for letter in mail.outbox}
    assert set(by_address) == {"studio@example.org", "bench@example.org"}
    body = by_address["studio@example.org"].body
    assert "change the coolant" in body
    assert "clean dust" not in body
    assert "You agreed to these reminders" in body
    call_command("remind", verbosity=0)
    assert len(mail.outbox) == 2


def test_a_client_who_did_not_agree_gets_no_letter(shop, pack, job, today, owner):
    pack.agree_reminders(False, owner)
    care_of(job, today)
    call_command("remind", verbosity=0)
    assert [letter.to for letter in mail.outbox] == [["bench@example.org"]]


@pytest.fixture
def letter(settings, shop, pack, job, today):
    """The letter that a client gets from a workshop served by TLS under its own name."""
    settings.ALLOWED_HOSTS, settings.SECURE_SSL_REDIRECT = ["localhost", "bench.example", "testserver"], True
    care_of(job, today)
    call_command("remind", verbosity=0)
    settings.SECURE_SSL_REDIRECT = False  # the test's client speaks plain HTTP
    return next(letter for letter in mail.outbox if letter.to == ["studio@example.org"])


def stop_address(letter):
    (found,) = re.findall(r"https://bench\.example(/care/\S+/stop/)", letter.body)
    return found


def test_a_letter_says_how_to_stop_them_and_a_mail_program_can(letter):
    """RFC 2369 section 3.2: addresses in angle brackets, commas between; RFC 8058 section 3.1: the header beside."""
    ways = letter.extra_headers["List-Unsubscribe"].split(", ")
    assert ways == [f"<https://bench.example{stop_address(letter)}>", "<mailto:bench@example.org?subject=stop>"]
    assert letter.extra_headers["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    assert letter.message()["List-Unsubscribe"]


def test_looking_at_the_link_stops_nothing_and_the_button_does(letter, client, pack):
    shown = client.get(stop_address(letter)).content.decode()
    assert "No more reminders" in shown
    pack.refresh_from_db()
    assert pack.reminders_since
    assert "No more reminders come" in client.post(stop_address(letter)).content.decode()
    pack.refresh_from_db()
    assert pack.reminders_since is None
    assert AuditEntry.objects.filter(verb="reminders", person=None).exists()
    assert client.post(stop_address(letter)).status_code == 200


def test_a_mail_program_stops_them_without_a_page(letter, pack):
    """RFC 8058 section 3.2: a POST of List-Unsubscribe=One-Click, with no cookie and no form of ours."""
    from django.test import Client

    sender = Client(enforce_csrf_checks=True)
    assert sender.post(stop_address(letter), {"List-Unsubscribe": "One-Click"}).status_code == 200
    pack.refresh_from_db()
    assert pack.reminders_since is None


@pytest.mark.parametrize("guess", ["1", "1.x", "none", "1.AAAAAAAAAAAAAAAAAAAAAAAAAAA"])
def test_a_guessed_link_stops_nothing(letter, client, pack, guess):
    assert client.post(f"/care/{guess}/stop/").status_code == 404
    pack.refresh_from_db()
    assert pack.reminders_since


def test_a_workshop_without_a_name_on_the_net_asks_for_an_answer(settings, shop, pack, job, today):
    settings.ALLOWED_HOSTS = ["localhost", "127.0.0.1"]
    care_of(job, today)
    call_command("remind", verbosity=0)
    letter = next(letter for letter in mail.outbox if letter.to == ["studio@example.org"])
    assert "Answer this letter" in letter.body
    assert letter.extra_headers == {"List-Unsubscribe": "<mailto:bench@example.org?subject=stop>"}


def test_a_done_date_is_not_told(shop, pack, job, today, helper):
    care_of(job, today, months=None).mark_done(helper)
    call_command("remind", verbosity=0)
    assert not mail.outbox


def test_a_letter_that_did_not_go_is_tried_again(shop, pack, job, today, monkeypatch):
    care = care_of(job, today)
    monkeypatch.setattr(letters, "send", lambda *_args, **_more: False)
    with pytest.raises(CommandError, match="no letter went to"):
        call_command("remind", verbosity=0)
    care.refresh_from_db()
    assert (care.told_client_on, care.told_owner_on) == (None, None)
    monkeypatch.undo()
    call_command("remind", verbosity=0)
    assert len(mail.outbox) == 2


def test_agreeing_needs_an_address(owner_client, pack, job, owner):
    job.client.email = ""
    job.client.save()
    pack.agree_reminders(False, owner)
    address = reverse("handover:reminders", args=[job.number])
    owner_client.post(address, once(agreed="yes"))
    pack.refresh_from_db()
    assert pack.reminders_since is None


def test_the_calendar_is_read_by_somebody_else_and_keeps_to_rfc_5545(client, owner, job, shop, today):
    """Read back by vobject, which shares no code with the library that writes; RFC 5545: 3.1 lines end in CRLF and
    hold at most 75 octets, 3.6.1 an event has UID and DTSTAMP, 3.3.4 whole days, 3.8.2.2 the end is not included."""
    import vobject

    care = care_of(job, today + datetime.timedelta(days=30), "change the coolant, köchelt nie — " + "long " * 20)
    other = JobFactory(stage="handed_over")
    care_of(other, today)
    link = CalendarLink.make_anew(job, owner)
    answer = client.get(reverse("handover:calendar", args=[link.token]))
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    lines = answer.content.split(b"\r\n")
    assert b"\n" not in answer.content.replace(b"\r\n", b"")
    assert max(map(len, lines)) <= 75
    calendar = vobject.readOne(answer.content.decode())
    calendar.validate(raiseException=True)
    (event,) = calendar.vevent_list
    assert event.uid.value == f"{care.uid}@loopwright"
    assert event.dtstart.value == care.due
    assert event.dtend.value == care.due + datetime.timedelta(days=1)
    assert care.what.strip() in event.summary.value
    assert event.valarm.trigger.value == datetime.timedelta(days=-7)
    assert "Halvorsen" not in answer.content.decode()


def test_one_calendar_of_all_machines(client, owner, job, today):
    care_of(job, today)
    care_of(JobFactory(stage="handed_over"), today)
    link = CalendarLink.make_anew(None, owner)
    assert client.get(reverse("handover:calendar", args=[link.token])).content.count(b"BEGIN:VEVENT") == 2


def test_a_new_address_shuts_the_old_one(client, owner, job):
    old = CalendarLink.make_anew(job, owner).token
    new = CalendarLink.make_anew(job, owner).token
    assert client.get(reverse("handover:calendar", args=[old])).status_code == 404
    assert client.get(reverse("handover:calendar", args=[new])).status_code == 200
    assert client.get(reverse("handover:calendar", args=["1-1.guess"])).status_code == 404


def test_the_owner_makes_the_address_and_the_helper_does_not(owner_client, helper_client, job, today):
    care_of(job, today)
    assert helper_client.post(reverse("handover:new_calendar"), once()).status_code == 403
    owner_client.post(reverse("handover:new_calendar"), once())
    assert CalendarLink.of().token in owner_client.get(reverse("handover:care")).content.decode()
    assert CalendarLink.of().token not in helper_client.get(reverse("handover:care")).content.decode()


def test_a_machine_that_does_not_exist(helper_client):
    assert helper_client.get(reverse("handover:life", args=[9999])).status_code == 404
    assert helper_client.get(reverse("handover:care_done", args=[9999])).status_code == 404
