from decimal import Decimal

import pytest

from parts.orders.models import Order, OrderLine
from parts.shelf.models import Tray
from tests.factories import JobFactory, PartFactory, PlaceFactory, SupplierFactory


@pytest.fixture
def place(db):
    return PlaceFactory(name="bench")


@pytest.fixture
def ordered(owner):
    """Make a placed order: ordered({job or None: quantity, …}, …) gives the line with its shares."""

    def make(shares=None, *, quantity=None, part=None, price="10.00", order=None, placed=True, needed=None):
        order = order or Order.draft(SupplierFactory(), owner)
        shares = shares or {}
        part = part or PartFactory()
        wishes = {
            job.tray if job else Tray.free_shelf(): (Decimal(wish), (needed or {}).get(job))
            for job, wish in shares.items()
        }
        total = quantity if quantity is not None else sum(shares.values()) or 2
        line = order.add_line(part, Decimal(total), Decimal(price), owner, shares=wishes)
        if placed:
            order.place(owner)
        return OrderLine.objects.with_arrivals().select_related("order", "part").get(pk=line.pk)

    return make


@pytest.fixture
def jobs(db):
    return JobFactory.create_batch(2)
