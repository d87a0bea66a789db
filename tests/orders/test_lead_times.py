"""Lead times learnt from a supplier's own arrivals, and suppliers who have not said a word."""

import datetime
from decimal import Decimal

import numpy as np
import pytest
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from builds.labour.gathered import lead_days
from builds.specs.models import SpecLine
from parts.orders.lead_times import learnt, percentile
from parts.orders.models import Arrival, Order, OrderLine
from parts.suppliers.models import Supplier, SupplierPrice
from tests.factories import PartFactory, SpecLineFactory, SupplierFactory, SupplierPriceFactory, once

ago = datetime.timedelta


@given(st.lists(st.integers(0, 400), min_size=1, max_size=60), st.floats(0, 1))
def test_percentiles_are_numpys(days, share):
    # NumPy's "linear" method: definition 7 of Hyndman and Fan (1996).
    assert percentile(days, share) == pytest.approx(np.percentile(days, share * 100), abs=1e-6)


def test_few_arrivals_teach_nothing():
    assert learnt([3, 4, 5, 6]) is None
    with pytest.raises(ValueError, match="at least one"):
        percentile([], 0.5)


@pytest.fixture
def taught(owner, place, ordered):
    """A supplier whose five orders took 4, 6, 5, 12 and 7 days, whatever it says itself."""
    supplier = SupplierFactory(lead_days=2)
    for days in (4, 6, 5, 12, 7):
        line = ordered(quantity=1, order=Order.draft(supplier, owner))
        Order.objects.filter(pk=line.order_id).update(placed_at=timezone.now() - ago(days=days))
        line.receive(Decimal(1), owner, place=place)
    supplier.refresh_from_db()
    return supplier


def test_a_supplier_is_known_by_what_came(owner_client, taught):
    assert (taught.learnt_median_days, taught.learnt_most_days, taught.learnt_from) == (6, 8, 5)
    page = owner_client.get(f"/suppliers/{taught.pk}/").content.decode()
    assert "half within 6 days" in page
    assert "four of five within 8 days" in page


def test_a_new_order_is_reckoned_with_what_was_learnt(owner, taught, ordered):
    today = timezone.localdate()
    assert ordered(quantity=1, order=Order.draft(taught, owner)).promised == today + ago(days=8)
    slow, quick = (SupplierPriceFactory(supplier=taught, lead_days=days) for days in (30, 3))
    assert ordered(part=slow.part, order=Order.draft(taught, owner)).promised == today + ago(days=30)
    assert ordered(part=quick.part, order=Order.draft(taught, owner)).promised == today + ago(days=8)


@pytest.mark.parametrize(("own", "days"), [(None, 8), (3, 8), (30, 30)])
def test_the_forecast_of_what_is_not_ordered_reckons_with_it_too(taught, own, days):
    price = SupplierPriceFactory(supplier=taught, lead_days=own)
    SpecLineFactory(part=price.part)
    assert SpecLine.objects.values_list(lead_days()).get() == (days,)
    assert SupplierPrice.objects.get().days == days


@pytest.mark.parametrize(("own", "days"), [(None, 2), (3, 3)])
def test_without_lessons_the_supplier_is_believed(db, own, days):
    price = SupplierPriceFactory(supplier=SupplierFactory(lead_days=2), lead_days=own)
    SpecLineFactory(part=price.part)
    assert SpecLine.objects.values_list(lead_days()).get() == (days,)
    assert price.days == days


def test_an_arrival_taken_back_is_no_lesson(owner, taught):
    Arrival.objects.first().undo(owner)
    assert Supplier.objects.get(pk=taught.pk).learnt_most_days is None


@pytest.fixture
def silent(ordered):
    """An order placed four days ago, its date reckoned by us."""
    line = ordered(quantity=1, part=PartFactory(name="Pump"))
    Order.objects.update(placed_at=timezone.now() - ago(days=4))
    return line


def test_a_silent_supplier_surfaces_until_it_gives_a_date(owner_client, owner, silent):
    order = silent.order
    assert "Suppliers to ask" in owner_client.get("/today/").content.decode()
    assert str(order) in owner_client.get("/orders/?state=silent").content.decode()
    assert "no word yet" in owner_client.get("/orders/").content.decode()
    owner_client.post(f"/orders/{order}/confirm/", once())
    assert not OrderLine.objects.silent().exists()
    assert "Suppliers to ask" not in owner_client.get("/today/").content.decode()


def test_a_new_date_is_a_word_too(owner, silent):
    silent.promise(timezone.localdate() + ago(days=3), owner)
    assert not OrderLine.objects.silent().exists()


def test_a_date_that_passed_days_ago_is_no_word_any_more(owner_client, owner, silent):
    silent.promise(timezone.localdate(), owner)
    OrderLine.objects.update(promised=timezone.localdate() - ago(days=2))
    assert not OrderLine.objects.silent().exists()
    OrderLine.objects.update(promised=timezone.localdate() - ago(days=3), confirmed_at=None)
    assert OrderLine.objects.silent().exists()
    owner_client.post(f"/orders/{silent.order}/confirm/", once())
    assert OrderLine.objects.get().confirmed_at is None


def test_an_order_of_yesterday_is_given_time(silent):
    Order.objects.update(placed_at=timezone.now() - ago(days=1))
    assert not OrderLine.objects.silent().exists()


def test_late_orders_are_listed_by_themselves(owner_client, silent):
    assert str(silent.order) not in owner_client.get("/orders/?state=late").content.decode()
    OrderLine.objects.update(promised=timezone.localdate() - ago(days=2))
    assert str(silent.order) in owner_client.get("/orders/?state=late").content.decode()


def test_a_draft_confirms_nothing(owner_client, ordered):
    order = ordered(placed=False).order
    owner_client.post(f"/orders/{order}/confirm/", once())
    assert OrderLine.objects.get().confirmed_at is None
