"""The account of a job always adds up, whatever is billed, paid, given back and changed, in whatever order."""

import random
from decimal import Decimal as D

import pytest
from django.db.models import Sum

from builds.quotes.bills import Bill, Payment
from builds.quotes.models import Issue, Quote
from parts.workshop.refusal import Refused
from tests.factories import PartFactory

from .conftest import in_days
from .test_bills import stages_of


@pytest.fixture
def quick(monkeypatch):
    """No paper is drawn: sums are looked at, and tests of the paper look at that."""
    for where in ("builds.quotes.bill_paper.render_pdf", "builds.quotes.paper.render_pdf"):
        monkeypatch.setattr(where, lambda template, context: b"%PDF-1.7 not drawn")


class Account:
    """A job's money moved at random."""

    def __init__(self, job, owner, chance):
        self.job, self.owner, self.chance = job, owner, chance

    def bill(self):
        waiting = [stage for stage in stages_of(self.job) if not Bill.objects.filter(stage_payment=stage).exists()]
        if waiting:
            Bill.raise_for(self.chance.choice(waiting), self.owner, in_days(7))

    def pay(self):
        bills = [bill for bill in self.job.bills.with_paid() if bill.open]
        if bills:
            bill = self.chance.choice(bills)
            part = D(self.chance.randint(1, 100)) / 100
            bill.record_payment(self.owner, (bill.open * part).quantize(D("0.01")), in_days(0))

    def give_back(self):
        if bills := list(self.job.bills.all()):
            cents = D(self.chance.randint(1, 20_000)) / 100
            self.chance.choice(bills).give_back(self.owner, cents, "as agreed")

    def vary(self):
        """Add or take out something small, accepted at once."""
        from builds.specs.models import SpecVersion

        spec = SpecVersion.objects.agreed_for(self.job).copy(self.owner)
        line = spec.lines.order_by("pk").last()
        spec.put(line.role, PartFactory(kind=line.part.kind), self.owner, quantity=D(self.chance.randint(1, 9)))
        issue = Quote.vary(self.job, spec, self.owner)
        for each in issue.lines.all():
            each.change(self.owner, unit_price=D(self.chance.randint(1, 9_999)) / 100)
        issue.send(self.owner)
        issue.accept(self.owner, "T. Oyelaran")

    def step(self):
        act = self.chance.choices((self.bill, self.pay, self.give_back, self.vary), (5, 6, 2, 1))[0]
        try:
            act()
        except Refused:
            return False
        return True


def total(rows, name):
    return rows.aggregate(sum=Sum(name))["sum"] or D(0)


def check(job):
    """Every figure of the money sheet from its parts; all to the cent."""
    stages, bills = stages_of(job), list(job.bills.with_paid())
    agreed = total(Issue.objects.filter(quote__job=job, state="accepted"), "total")
    assert sum(stage.amount for stage in stages) == agreed
    billed, paid = sum(bill.amount for bill in bills), total(Payment.objects.filter(bill__job=job), "amount")
    assert sum(bill.open for bill in bills) == billed - paid
    assert all(0 <= bill.open <= bill.amount or bill.amount <= bill.open <= 0 for bill in bills)
    assert [bill.number for bill in bills] == list(range(1, len(bills) + 1))
    final = [bill for bill in bills if bill.kind == "final"]
    unbilled = [stage for stage in stages if stage.amount and stage.pk not in {bill.stage_payment_id for bill in bills}]
    if final and not unbilled:  # what was given back after the final bill is not asked for again
        last = final[-1]
        after = sum(bill.amount for bill in bills if bill.number > last.number and bill.credits_id)
        assert billed == agreed + after
    for bill in bills:
        said = bill.document.data
        assert D(said["net"]) + D(said["tax"]) == D(said["total"])
        assert D(said["due"]) == abs(bill.amount)
        assert sum(D(group["tax"]) for group in said["groups"]) == D(said["tax"])


@pytest.mark.parametrize("seed", range(5))
def test_it_adds_up_after_every_step(agreed, job, owner, quick, seed):
    account = Account(job, owner, random.Random(seed))
    done = 0
    for _turn in range(25):
        done += account.step()
        check(job)
    assert done >= 10
