"""The database is lost for a moment in the middle of a write: a plain page, nothing half-done, and work goes on."""

from decimal import Decimal as D

import pytest
from django.db import OperationalError, connection
from django.test import Client

from builds.clients.models import Client as Customer
from parts.shelf.models import Stock
from parts.workshop.models import Once
from tests.factories import once
from tests.orders.conftest import jobs, ordered  # noqa: F401


@pytest.fixture
def bench(owner):
    browser = Client(raise_request_exception=False)
    browser.force_login(owner)
    return browser


def lost_at(table):
    """Loses the database at the first write to a table."""

    def lose(execute, sql, params, many, context):
        if sql.startswith("INSERT") and table in sql:
            raise OperationalError("server closed the connection unexpectedly")
        return execute(sql, params, many, context)

    return connection.execute_wrapper(lose)


@pytest.mark.parametrize("table", ["parts_once", "parts_stock", "parts_move", "parts_arrival", "parts_auditentry"])
def test_goods_in_are_taken_in_by_the_next_try(bench, ordered, jobs, table):  # noqa: F811
    line = ordered({jobs[0]: 3})
    path, form = f"/orders/{line.order}/receive/", once(place="bench")
    with lost_at(table):
        answer = bench.post(path, form)
    assert answer.status_code == 500
    assert "was not stored, and nothing was half-done" in answer.content.decode()
    assert not Stock.objects.exists()
    assert not Once.objects.exists()
    assert bench.post(path, form).status_code == 302
    assert Stock.objects.get().quantity == D(3)


def test_a_new_client_is_not_half_there(bench):
    with lost_at("parts_auditentry"):
        assert bench.post("/clients/new/", once(name="Harbour Films")).status_code == 500
    assert not Customer.objects.exists()
