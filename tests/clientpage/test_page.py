"""What a client reads behind his link, and what he never does."""

from decimal import Decimal as D

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from builds.clientpage.contents import contents_of
from builds.jobs.models import Job, Stage
from builds.journal.models import JournalEntry
from builds.labour.models import Task
from builds.quotes.bills import Bill
from builds.quotes.models import Quote
from parts.shelf.models import Stock
from parts.workshop.photos import CleanPhoto
from tests.factories import JobFactory, PlaceFactory
from tests.quotes.conftest import in_days, put

from .conftest import act


def read(client, page):
    answer = client.get(page)
    assert answer.status_code == 200
    return answer.content.decode()


def test_an_offer_waits_to_be_read_and_answered(client, page, sent):
    shown = read(client, page)
    assert "A quote for you to decide" in shown
    assert "888.00" in shown
    assert "Nothing is agreed yet" in shown


def test_a_draft_is_not_his_business(client, page, draft, link):
    shown = read(client, page)
    assert str(draft) not in shown
    assert client.get(act(link, draft, "paper")).status_code == 404
    assert client.post(act(link, draft, "accept"), {"name": "T"}).status_code == 404


def test_costs_and_margins_stand_nowhere(client, page, sent):
    sent.lines.update(unit_cost=D("77.77"))
    shown = read(client, page)
    for word in ("77.77", "margin", "contribution", "cost each"):
        assert word not in shown


def test_the_frozen_paper_opens_byte_for_byte(client, link, sent):
    answer = client.get(act(link, sent, "paper"))
    assert answer["Content-Type"] == "application/pdf"
    assert answer.content == sent.document.read()


def test_another_jobs_papers_do_not_open(client, link, agreed, owner):
    other = JobFactory()
    quote = Quote.objects.create(job=other, number=77)
    quote.issues.create(number=1, spec=agreed.spec, state="sent", currency="EUR", margin_percent=D(15))
    assert client.get(reverse("clientpage:paper", args=[link.token, 77, 1])).status_code == 404
    assert client.post(reverse("clientpage:accept", args=[link.token, 77, 1]), {"name": "T"}).status_code == 404


def test_what_was_agreed_and_what_is_paid(client, page, link, agreed, owner):
    bill = Bill.raise_for(agreed.stage_payments.first(), owner, in_days(14))
    assert "192.00 to pay by" in read(client, page)
    paper = client.get(reverse("clientpage:bill", args=[link.token, bill.number]))
    assert paper.content == bill.document.read()
    assert client.get(reverse("clientpage:bill", args=[link.token, 99])).status_code == 404
    bill.record_payment(owner, D(192), in_days(0))
    bill.give_back(owner, D(5), "a scratch")
    shown = read(client, page)
    assert "What was agreed" in shown
    assert "paid, thank you" in shown
    assert "of 888.00 EUR" in shown
    assert "a scratch" in shown


def test_parts_here_and_steps_done_in_plain_words(client, page, agreed, job, owner):
    pump = agreed.spec.lines.get(role__name="pump").part
    Stock.put_in(part=pump, tray=job.tray, place=PlaceFactory(), quantity=D(1), reason="came", by=owner)
    Job.objects.filter(pk=job.pk).update(stage=Stage.GATHERING)
    assert "1 of 2 kinds of parts are in the workshop" in read(client, page)
    Job.objects.filter(pk=job.pk).update(stage=Stage.BENCH, paused_because="he has not paid")
    Task.objects.get(name="blocks").finish(owner)
    shown = read(client, page)
    assert "1 of 3 steps of the work are done" in shown
    assert "Work rests for the moment" in shown
    assert "has not paid" not in shown


@pytest.mark.parametrize("stage", list(Stage))
def test_every_stage_says_something(client, page, agreed, job, stage):
    Job.objects.filter(pk=job.pk).update(stage=stage)
    said = contents_of(Job.objects.get(pk=job.pk)).sentence
    assert said.endswith(".") or stage in (Stage.ENQUIRY, Stage.QUOTED), "these are over once something is agreed"
    assert said in read(client, page)


def test_before_hand_over_there_is_no_pack(client, link, agreed):
    assert client.get(reverse("clientpage:pack", args=[link.token])).status_code == 404


def test_it_asks_ten_queries_at_most(client, page, agreed, job, spec, owner):
    newer = spec.copy(owner)
    put(newer, "valve", "4.00")
    change = Quote.vary(job, newer, owner)
    change.send(owner)
    Bill.raise_for(agreed.stage_payments.first(), owner, in_days(14))
    for n in range(3):
        entry = JournalEntry.write(
            job=job, by=owner, on=in_days(-n), text=f"block {n}", photos=[CleanPhoto(b"large", b"small", 8, 6)]
        )
        entry.share(owner)
    with CaptureQueriesContext(connection) as asked:
        shown = read(client, page)
    assert "A change for you to decide" in shown
    assert "What was agreed" in shown
    assert shown.count("<img") >= 3
    assert len(asked) <= 10, [query["sql"][-300:] for query in asked]


def test_markup_in_texts_and_names_stays_text(client, page, sent, job):
    job.client.name = "<script>alert(1)</script> \u202eمحمد 🐟"
    job.client.save()
    sent.texts |= {"terms": "<img src=x onerror=alert(1)>"}
    sent.save()
    shown = read(client, page)
    assert "<script>alert" not in shown
    assert "<img src=x" not in shown
    assert "محمد 🐟" in shown


def test_promise_and_payments_go_into_a_calendar(client, page, link, agreed, job, owner):
    """RFC 5545: whole days, read back by icalendar."""
    from icalendar import Calendar

    bill = Bill.raise_for(agreed.stage_payments.first(), owner, in_days(14))
    job.care_dates.create(due=in_days(365), what="change the coolant")
    address = reverse("clientpage:calendar", args=[link.token])
    assert address in read(client, page)
    answer = client.get(address)
    assert answer["Content-Type"].startswith("text/calendar")
    events = {str(event["summary"]): event["dtstart"].dt for event in Calendar.from_ical(answer.content).events}
    assert events == {
        f"{job} {job.title}: promised for": in_days(60),
        f"{job} {job.title}: {bill} is to be paid": in_days(14),
        f"{job} {job.title}: change the coolant": in_days(365),
    }
