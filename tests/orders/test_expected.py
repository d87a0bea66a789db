import datetime
from decimal import Decimal

import pytest
from django.utils import timezone

from parts.orders.expected import expected_by_tray
from parts.orders.models import Order, OrderLine
from tests.factories import PartFactory, SupplierFactory

pytestmark = pytest.mark.django_db


def test_what_a_job_waits_for_with_its_dates_the_soonest_first(owner, ordered, jobs):
    part, job, today = PartFactory(), jobs[0], timezone.localdate()
    late, soon = ordered({job: 1}, part=part), ordered({job: 2}, part=part)
    late.promise(today + datetime.timedelta(days=30), owner)
    soon.promise(today + datetime.timedelta(days=3), owner)
    ordered({jobs[1]: 7}, part=part)
    assert expected_by_tray([job.tray]) == {
        (job.tray_id, part.pk): [
            (2, today + datetime.timedelta(days=3), soon.order),
            (1, today + datetime.timedelta(days=30), late.order),
        ]
    }


def test_drafts_and_cancelled_orders_bring_nothing(owner, ordered, jobs):
    draft = ordered({jobs[0]: 1}, placed=False)
    ordered({jobs[0]: 1}).order.cancel(owner)
    assert expected_by_tray([jobs[0].tray]) == {}
    counted = expected_by_tray([jobs[0].tray], drafted=True)
    assert counted == {(jobs[0].tray_id, draft.part_id): [(1, None, draft.order)]}


def test_asking_for_many_trays_costs_as_much_as_for_one(owner, ordered, jobs, django_assert_max_num_queries):
    for job in jobs * 4:
        ordered({job: 1})
    with django_assert_max_num_queries(2):
        expected_by_tray([job.tray for job in jobs])


def test_late_orders_come_first_and_what_is_over_last(owner, ordered, place):
    done = ordered(quantity=1)
    done.receive(Decimal(1), owner, place=place)
    later, late = ordered(), ordered()
    draft = Order.draft(SupplierFactory(), owner)
    OrderLine.objects.filter(pk=late.pk).update(promised=timezone.localdate() - datetime.timedelta(days=2))
    listed = list(Order.objects.with_state().late_first())
    assert listed == [late.order, later.order, draft, done.order]
    assert [order.state for order in listed] == ["placed", "placed", "drafted", "complete"]
    assert list(OrderLine.objects.late()) == [late]


def test_orders_are_found_by_number_supplier_and_part(owner, ordered):
    line = ordered(part=PartFactory(name="Radiator 3 × 120"))
    ordered()
    order = line.order
    for words in (str(order), f"o-{order.number}", order.supplier.name, "radiator 120"):
        assert order in Order.objects.matching(words), words
    assert not Order.objects.matching("O-999 radiator").exists()
