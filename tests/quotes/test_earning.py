"""The money sheet: what landed and what still comes, and what an hour of the work brings; the owner's alone."""

import doctest
from datetime import timedelta
from decimal import Decimal as D

import pytest
from django.urls import reverse
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from builds.jobs.models import Job, Stage
from builds.labour.hours import HoursEntry
from builds.quotes import pricing
from builds.quotes.comparing import compare
from builds.quotes.earning import finished_jobs
from builds.quotes.models import IssueLine
from builds.quotes.pricing import per_hour
from parts.orders.models import Order, OrderLine, ReturnCase
from parts.shelf.models import Stock
from tests.factories import JobFactory, PlaceFactory

amounts = st.decimals(0, 100_000, places=2)


@pytest.fixture
def fans(agreed, job, owner):
    """Six fans at 8.00 on order for the job, 3.00 of carriage on the order."""
    fan = agreed.spec.lines.get(role__name="fans").part
    order = Order.draft(fan.prices.get().supplier, owner)
    order.add_line(fan, D(6), D(8), owner, shares={job.tray: (D(6), None)})
    Order.objects.filter(pk=order.pk).update(carriage=D(3))
    order.refresh_from_db()
    order.place(owner)
    return OrderLine.objects.with_arrivals().select_related("order", "part").get(order=order)


def log(task, owner, hours):
    end = timezone.now() - timedelta(hours=1)
    HoursEntry.enter(task=task, person=owner, started_at=end - timedelta(hours=hours), ended_at=end, by=owner)


def test_ordered_is_not_landed(fans, job):
    found = compare(job)
    assert (found.landed.total, found.coming.cost, found.bought) == (D(0), D(48), D(48))


def test_a_part_delivery_lands_with_its_carriage_and_the_rest_still_comes(fans, job, owner):
    fans.receive(D(4), owner, place=PlaceFactory())
    found = compare(job)
    assert (found.landed.total, found.coming.cost) == (D(34), D(16))  # by hand: 4/6 × 51.00, and 2 × 8.00
    assert found.parts_over == D(50) - D(128)


def test_a_suppliers_credit_lowers_what_landed(fans, job, owner):
    fans.receive(D(6), owner, place=PlaceFactory())
    (stock,) = Stock.objects.lying().filter(tray=job.tray)
    case = ReturnCase.open_for(stock, quantity=D(1), by=owner, found=ReturnCase.BENCH, note="rattles")
    case.move_on(ReturnCase.CREDITED, owner, credit=D(8))
    found = compare(job)
    assert (found.landed.cost, found.landed.credited, found.landed.total) == (D(51), D(8), D(43))


def test_an_order_without_a_rate_is_said_not_counted(fans, job, owner_client):
    Order.objects.update(currency="USD", rate=None)
    found = compare(job)
    assert (found.coming.cost, found.coming.without_rate) == (D(0), True)
    said = owner_client.get(reverse("quotes:money", args=[job.number])).content.decode()
    assert "type its rate on the order" in said


def test_pieces_that_came_without_an_order_are_said(agreed, job, owner, owner_client):
    fan = agreed.spec.lines.get(role__name="fans").part
    Stock.put_in(part=fan, tray=job.tray, place=PlaceFactory(), quantity=D(2), reason="counted", by=owner)
    assert compare(job).landed.unknown == 2
    said = owner_client.get(reverse("quotes:money", args=[job.number])).content.decode()
    assert "2 pieces came without an order" in said


def test_the_worked_example_of_an_hour():
    assert not doctest.testmod(pricing).failed


@given(net=amounts, bought=amounts, hours=st.decimals("0.25", 2000, places=2))
def test_hours_times_what_an_hour_brings_is_the_contribution(net, bought, hours):
    """To half a cent an hour, which is what rounding to the cent leaves."""
    assert abs(per_hour(net, bought, hours, "EUR") * hours - (net - bought)) <= hours * D("0.005")


def test_without_hours_there_is_no_rate():
    assert per_hour(D(100), D(10), D(0), "EUR") is None
    assert per_hour(None, D(10), D(3), "EUR") is None


def test_as_quoted(agreed, job):
    """740.00 net less 128.00 of parts over 15 h: 40.80 an hour."""
    earned = compare(job).earned
    assert (earned.hours_quoted, earned.quoted) == (D(15), D("40.80"))


def test_a_live_job_never_looks_better_than_it_was_quoted(agreed, job, plan, owner):
    """One hour logged and nothing bought is no 740.00 an hour."""
    log(plan[0], owner, 1)
    assert compare(job).earned.now == D("40.80")


def test_more_hours_than_quoted_lower_it_at_once(agreed, job, plan, owner):
    log(plan[0], owner, 20)
    earned = compare(job).earned
    assert (earned.hours, earned.now) == (D(20), D("30.60"))  # by hand: 612.00 / 20


def test_dearer_parts_lower_it_at_once(fans, job, owner):
    IssueLine.objects.filter(role__name="pump").update(unit_cost=D(0))
    assert compare(job).earned.now < D("46.14")  # parts quoted 48.00 at cost: 692.00 / 15
    fans.receive(D(6), owner, place=PlaceFactory())
    assert compare(job).earned.now == D("45.93")  # 51.00 landed: 689.00 / 15


def test_a_job_that_ended_counts_what_really_was(fans, job, plan, owner):
    fans.receive(D(6), owner, place=PlaceFactory())
    log(plan[0], owner, 10)
    Job.objects.filter(pk=job.pk).update(stage=Stage.HANDED_OVER, handed_over_at=timezone.now())
    job.refresh_from_db()
    earned = compare(job).earned
    assert (earned.hours, earned.now, earned.settled) == (D(10), D("68.90"), True)  # 740.00 - 51.00 over 10 h
    assert [(row.job, row.hours, row.brought) for row in finished_jobs("EUR")] == [(job, D(10), D("68.90"))]
    assert finished_jobs("EUR", but=job) == []


def test_a_finished_job_with_parts_of_unknown_cost_says_so(agreed, job, plan, owner):
    fan = agreed.spec.lines.get(role__name="fans").part
    Stock.put_in(part=fan, tray=job.tray, place=PlaceFactory(), quantity=D(2), reason="counted", by=owner)
    log(plan[0], owner, 10)
    Job.objects.filter(pk=job.pk).update(stage=Stage.HANDED_OVER, handed_over_at=timezone.now())
    (row,) = finished_jobs("EUR")
    assert (row.hours, row.brought) == (D(10), None)


def test_the_list_of_finished_jobs_asks_the_same_whatever_their_number(db, django_assert_num_queries):
    for count in (1, 8):
        JobFactory.create_batch(count, stage=Stage.HANDED_OVER, handed_over_at=timezone.now())
        with django_assert_num_queries(7):
            finished_jobs("EUR")


def test_only_the_owner_sees_it(agreed, job, owner_client, helper_client):
    here = reverse("quotes:money", args=[job.number])
    assert "What an hour brings" in owner_client.get(here).content.decode()
    assert helper_client.get(here).status_code == 403
