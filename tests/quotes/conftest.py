"""A job with a spec, a plan and prices, as a quote finds it. All invented."""

from datetime import timedelta
from decimal import Decimal as D

import pytest
from django.utils import timezone

from builds.jobs.models import Job
from builds.labour.models import Task
from builds.labour.patterns import WorkKind
from builds.quotes.models import Quote
from parts.workshop.models import TaxRule, Workshop
from tests.factories import (
    ClientFactory,
    PartFactory,
    RoleFactory,
    SpecLineFactory,
    SpecVersionFactory,
    SupplierFactory,
    SupplierPriceFactory,
)


@pytest.fixture
def stops(monkeypatch):
    """Open stops that a test puts in, instead of what the checks find."""
    found = []
    monkeypatch.setattr("builds.specs.sanity.open_stops", lambda spec, workshop=None: found)
    return found


@pytest.fixture
def shop(db):
    """A workshop that is registered for tax at 20 % since 2020."""
    row = Workshop.current()
    row.name, row.currency, row.margin_percent = "Quayside Bench", "EUR", D(20)
    row.included_text, row.excluded_text, row.terms_text = "Assembly and soak test.", "Software licences.", "14 days."
    row.save()
    TaxRule.objects.create(name="tax", percent=D(20), starts="2020-01-01")
    return row


@pytest.fixture
def job(shop, owner):
    return Job.open(client=ClientFactory(name="T. Oyelaran"), title="Flight-deck simulator", by=owner)


def put(spec, role, price, quantity=1, kind="other", **line):
    """A part in a role, with a supplier's price (None: nobody sells it)."""
    part = PartFactory(kind=kind, name=f"{role} part")
    if price is not None:
        SupplierPriceFactory(part=part, price=D(price), supplier=SupplierFactory())
    role = spec.job.roles.filter(name=role).first() or RoleFactory(job=spec.job, kind=kind, name=role)
    return SpecLineFactory(spec=spec, part=part, role=role, quantity=D(quantity), **line)


@pytest.fixture
def spec(job):
    """A pump at 80.00 and six fans at 8.00."""
    made = SpecVersionFactory(job=job, number=1)
    put(made, "pump", "80.00")
    put(made, "fans", "8.00", quantity=6)
    return made


@pytest.fixture
def plan(job):
    """Ten hours of fit-up in two tasks, five of testing in one."""
    fit = WorkKind.objects.create(name="Fit-up", rate=D(38), cost=D(15), position=1)
    test = WorkKind.objects.create(name="Testing", rate=D(40), cost=D(15), position=2)
    hours = {"hours_low": D(1), "hours_high": D(9)}
    return [
        Task.objects.create(job=job, name="blocks", work_kind=fit, hours_likely=D(4), **hours),
        Task.objects.create(job=job, name="plumbing", work_kind=fit, hours_likely=D(6), **hours),
        Task.objects.create(job=job, name="soak", work_kind=test, hours_likely=D(5), **hours),
    ]


@pytest.fixture
def draft(job, spec, plan, owner):
    """Issue 1, drafted: 100.00 + 6 × 10.00 of parts, 380.00 + 200.00 of work, 740.00 net, 888.00 with tax."""
    return Quote.draft(job, spec, owner)


@pytest.fixture
def sent(draft, owner):
    draft.set_terms(owner, valid_until=in_days(14), promise=in_days(60), margin_percent=draft.margin_percent)
    draft.send(owner)
    return draft


@pytest.fixture
def agreed(sent, owner):
    sent.accept(owner, "T. Oyelaran")
    return sent


def in_days(days):
    return timezone.localdate() + timedelta(days=days)
