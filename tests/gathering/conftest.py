from decimal import Decimal

import pytest
from django.utils import timezone

from tests.factories import (
    JobFactory,
    PartFactory,
    RoleFactory,
    SpecLineFactory,
    SpecVersionFactory,
    SupplierFactory,
    SupplierPriceFactory,
)


@pytest.fixture
def fen(db):
    return SupplierFactory(name="Fen Fluidics", carriage=Decimal(7), lead_days=5)


@pytest.fixture
def agreed(fen):
    """Make a job with an agreed spec: agreed({"front fans": (part, 3), …}) gives the job."""

    def make(roles, *, brought=(), agreed=True, **job):
        job = JobFactory(stage="agreed" if agreed else "quoted", **job)
        spec = SpecVersionFactory(job=job, agreed_at=timezone.now() if agreed else None)
        for position, (name, (part, quantity)) in enumerate(roles.items()):
            role = RoleFactory(job=job, name=name, kind=part.kind, position=position)
            SpecLineFactory(
                spec=spec, role=role, part=part, quantity=Decimal(quantity), client_supplied=name in brought
            )
        return job

    return make


@pytest.fixture
def sold(fen):
    """Make a part that Fen Fluidics (or another supplier) sells: sold("Fan 120", "18.40")."""

    def make(name, price=None, supplier=None, **terms):
        part = PartFactory(name=name)
        if price is not None:
            SupplierPriceFactory(part=part, supplier=supplier or fen, price=Decimal(price), **terms)
        return part

    return make
