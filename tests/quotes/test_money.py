"""Bills, payments, what is owed."""

from decimal import Decimal as D

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from builds.jobs.models import Job, Stage
from builds.quotes.bills import Bill
from builds.quotes.models import Issue, Quote, StagePayment
from parts.workshop.models import Counter
from parts.workshop.refusal import Refused
from tests.factories import JobFactory, SpecVersionFactory, once

from .conftest import in_days


@pytest.fixture
def deposit(agreed):
    return agreed.stage_payments.get(due="acceptance")


@pytest.fixture
def bill(deposit, owner):
    return Bill.raise_for(deposit, owner, in_days(14))


@pytest.fixture
def money(job):
    return reverse("quotes:money", args=[job.number])


def test_a_stage_payment_is_billed_once(bill, deposit, owner):
    assert (str(bill), bill.amount) == ("B-0001", D(192))
    with pytest.raises(Refused, match="billed already, as B-0001"):
        Bill.raise_for(deposit, owner, in_days(14))
    assert Bill.objects.count() == 1


def test_a_refused_bill_takes_no_number(agreed, deposit, owner):
    with pytest.raises(Refused, match="lies in the past"):
        Bill.raise_for(deposit, owner, in_days(-1))
    assert not Counter.objects.filter(series="bill").exists()
    balance = agreed.stage_payments.get(due="handover")
    assert [Bill.raise_for(one, owner, in_days(1)).number for one in (deposit, balance)] == [1, 2]


def test_only_what_was_accepted_is_billed(sent, owner):
    with pytest.raises(Refused, match="is not agreed"):
        Bill.raise_for(sent.stage_payments.first(), owner, in_days(14))


def test_payments_settle_a_bill(bill, job, owner):
    bill.record_payment(owner, D("100.00"), in_days(0), "first half")
    assert Bill.objects.with_paid().get().open == D(92)
    assert Bill.objects.amount_due([job]) == {job.pk: D(92)}
    bill.record_payment(owner, D("92.00"), in_days(0))
    assert Bill.objects.amount_due([job]) == {job.pk: D(0)}


@pytest.mark.parametrize("amount", ["192.01", "0", "-5"])
def test_no_more_than_is_open_is_paid(bill, owner, amount):
    with pytest.raises(Refused, match=r"has 192\.00 open") as said:
        bill.record_payment(owner, D(amount), in_days(0))
    assert said.value.field == "amount"


def test_money_does_not_come_in_tomorrow(bill, owner):
    with pytest.raises(Refused, match="has not come yet"):
        bill.record_payment(owner, D(1), in_days(1))


@pytest.mark.parametrize(
    ("stage", "owed"), [(Stage.AGREED, 192), (Stage.BENCH, 192), (Stage.PROVING, 888), (Stage.CANCELLED, None)]
)
def test_stage_payments_fall_due_with_the_jobs_stage(agreed, job, stage, owed):
    Job.objects.filter(pk=job.pk).update(stage=stage)
    assert Bill.objects.amount_due([job]).get(job.pk) == owed


def test_a_bill_once_raised_is_owed_whatever_the_stage(bill, job):
    Job.objects.filter(pk=job.pk).update(stage=Stage.CANCELLED)
    assert Bill.objects.amount_due([job]) == {job.pk: D(192)}


def agree_on(number, owner):
    job = JobFactory(stage=Stage.AGREED)
    issue = Issue.objects.create(
        quote=Quote.objects.create(job=job, number=number), number=1, spec=SpecVersionFactory(job=job),
        state="accepted", currency="EUR", margin_percent=D(15),
    )  # fmt: skip
    stages = [StagePayment.objects.create(issue=issue, name=n, due="acceptance", amount=D(50)) for n in "ab"]
    Bill.raise_for(stages[0], owner, in_days(3))
    return job


def test_owed_on_many_jobs_takes_two_queries(db, owner):
    jobs = [agree_on(n, owner) for n in range(1, 2)]
    with CaptureQueriesContext(connection) as few:
        Bill.objects.amount_due(jobs)
    jobs += [agree_on(n, owner) for n in range(2, 9)]
    with CaptureQueriesContext(connection) as many:
        owed = Bill.objects.amount_due(jobs)
    assert len(few) == len(many) == 2
    assert owed == {job.pk: D(100) for job in jobs}


def test_the_sheet_says_what_to_do_before_anything_is_agreed(owner_client, money):
    assert "Nothing agreed yet" in owner_client.get(money).content.decode()


def test_billing_and_paying_on_the_sheet(owner_client, money, deposit, job):
    shown = owner_client.get(money).content.decode()
    assert "due now" in shown
    answer = owner_client.post(
        reverse("quotes:raise_bill", args=[job.number, deposit.pk]), once(due_on=in_days(7)), follow=True
    )
    assert "B-0001 is raised" in answer.content.decode()
    assert 'value="192' in owner_client.get(money, {"bill": "1"}).content.decode()
    pay = reverse("quotes:record_payment", args=[job.number, 1])
    shown = owner_client.post(pay, once(amount="500", received_on=in_days(0))).content.decode()
    assert "type an amount up to that" in shown
    assert 'value="500"' in shown
    answer = owner_client.post(pay, once(amount="192,00", received_on=in_days(0), note="bank"), follow=True)
    assert "bank" in answer.content.decode()
    assert Bill.objects.with_paid().get().open == 0


def test_a_double_click_raises_one_bill_and_one_payment(owner_client, deposit, job):
    data = once(due_on=in_days(7))
    for _click in range(2):
        assert owner_client.post(reverse("quotes:raise_bill", args=[job.number, deposit.pk]), data).status_code == 302
    data = once(amount="10", received_on=in_days(0))
    for _click in range(2):
        assert owner_client.post(reverse("quotes:record_payment", args=[job.number, 1]), data).status_code == 302
    assert Bill.objects.with_paid().get().paid == 10


def test_the_sheets_queries_do_not_grow(owner_client, money, agreed, owner):
    owner_client.get(money)  # the database's own first questions
    counts = []
    for _round in range(2):
        owner_client.get(money)  # keeps the forecast, which every change has made anew
        with CaptureQueriesContext(connection) as asked:
            owner_client.get(money)
        counts.append(len(asked))
        for n in range(3):
            stage = StagePayment.objects.create(issue=agreed, name=f"more {n}", due="bench", amount=D(9))
            Bill.raise_for(stage, owner, in_days(3)).record_payment(owner, D(2), in_days(0))
    owner_client.get(money)
    with CaptureQueriesContext(connection) as asked:
        owner_client.get(money)
    counts.append(len(asked))
    assert max(counts) - min(counts) == 0
    assert max(counts) <= 24


def test_the_tables_go_to_a_spreadsheet_without_a_formula(owner_client, helper_client, job, bill, owner):
    import csv
    import io

    bill.record_payment(owner, D("100.00"), in_days(0), "=HYPERLINK(1)")
    bill.give_back(owner, D(42), "+a slip")
    address = reverse("quotes:money_file", args=[job.number, "csv"])
    rows = list(csv.reader(io.StringIO(owner_client.get(address).content.decode("utf-8-sig")), delimiter=";"))
    amounts = [(row[0], row[5]) for row in rows[1:]]
    assert amounts == [
        ("stage payment", "192.00"), ("stage payment", "696.00"), ("part payment", "192.00"),
        ("credit note", "-42.00"), ("payment", "100.00"),
    ]  # fmt: skip
    assert rows[-1][2] == "'=HYPERLINK(1)"
    assert rows[-2][2] == "'+a slip"
    assert helper_client.get(address).status_code == 403
