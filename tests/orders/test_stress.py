"""Two processes of four threads order, receive, carry, return, cancel and undo at random; then everything adds up.

240 operations in the everyday suite, LOOPWRIGHT_STRESS=1000 for all of them.
"""

import json
import os
import subprocess
import sys
from collections import Counter
from decimal import Decimal
from pathlib import Path

import pytest
from django.db import connection
from django.db.models import Sum

from parts.catalogue.models import Part
from parts.orders.expected import outstanding_by_share
from parts.orders.models import Arrival, Order, OrderLine, ReturnCase, Share
from parts.shelf.models import Move, Place, Stock, Tray
from parts.shelf.valuing import replayed
from parts.workshop.models import AuditEntry, Workshop
from parts.workshop.money import rounded
from tests.factories import PartFactory, PersonFactory, SupplierFactory

PROCESSES, WORKERS = 2, 8
TURNS = int(os.environ.get("LOOPWRIGHT_STRESS", "240")) // WORKERS


def address():
    """The test database as a DATABASE_URL, for the other processes."""
    at = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite:///{at['NAME']}"
    keep = f":{at['PASSWORD']}" if at["PASSWORD"] else ""
    return f"postgres://{at['USER']}{keep}@{at['HOST'] or 'localhost'}:{at['PORT'] or 5432}/{at['NAME']}"


def work_at_once():
    """Start the processes, wait, and give back what their hands say they did."""
    script = Path(__file__).with_name("hands.py")
    env = os.environ | {"DATABASE_URL": address()}
    running = [
        subprocess.Popen(
            [sys.executable, str(script), str(seed), str(TURNS)], env=env, text=True,
            stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        )
        for seed in range(PROCESSES)
    ]  # fmt: skip
    tally, did = Counter(), Counter()
    said_by_each = [process.communicate(timeout=600) for process in running]
    for process, (out, err) in zip(running, said_by_each, strict=True):
        assert process.returncode == 0, err
        said = json.loads(out)
        assert said["faults"] == []
        tally.update(said["tally"])
        did.update(said["did"])
    return {int(part): quantity for part, quantity in tally.items()}, did


@pytest.mark.django_db(transaction=True)
def test_after_hundreds_of_random_acts_stock_promises_and_money_add_up():
    PersonFactory(username="stress")
    Workshop.current()
    PartFactory.create_batch(4)
    suppliers = [SupplierFactory(), SupplierFactory(currency="NOK", usual_rate=Decimal("0.0853"))]
    for name in ("bench", "box"):
        Place.named(name)
    trays = [Tray.free_shelf(), *(Tray.objects.create(name=f"J-000{n}") for n in range(1, 4))]
    tally, did = work_at_once()
    assert sum(did.values()) == TURNS * WORKERS
    assert min(did["receive"], did["carry"]) >= 5, "who comes first is chance; that enough was done is not"
    check_stock(tally)
    check_promises()
    check_money(trays)
    assert sorted(Order.objects.values_list("number", flat=True)) == list(range(1, Order.objects.count() + 1))
    assert Order.objects.filter(supplier=suppliers[1]).exists()
    assert AuditEntry.objects.filter(verb="placed").count() == did["order"]


def summed(rows, field="quantity"):
    return rows.aggregate(sum=Sum(field))["sum"] or Decimal(0)


def check_stock(tally):
    """Every row is what came less what went, and every part as many as all hands together say."""
    for stock in Stock.objects.all():
        assert stock.quantity == summed(stock.moves_in.all()) - summed(stock.moves_out.all()) >= 0
    for part in Part.objects.all():
        assert summed(part.stock.all()) == tally.get(part.pk, 0)
    good = Arrival.objects.standing().filter(condition=Arrival.GOOD)
    assert summed(Move.objects.filter(arrivals__in=good)) == summed(good)


def check_promises():
    """No line gave more than was ordered, no tray got more than its share, nothing waits for less than nothing."""
    lines = list(OrderLine.objects.with_arrivals())
    waits = outstanding_by_share(lines)
    for line in lines:
        assert summed(line.shares.all()) == line.quantity
        assert line.good + line.credited <= line.quantity
        assert sum(wanted for _tray, wanted in waits[line.pk]) == line.outstanding
        assert all(wanted >= 0 for _tray, wanted in waits[line.pk])
    for share in Share.objects.all():
        brought = Move.objects.filter(arrivals__line=share.line_id, target__tray=share.tray_id)
        assert summed(brought) <= share.quantity
    bad = Arrival.objects.standing().exclude(condition=Arrival.GOOD)
    assert ReturnCase.objects.filter(move=None).count() == bad.count()


def check_money(trays):
    """Orders' landed costs are their goods and charges; the arrivals' costs are theirs; no cent is lost in stock."""
    for order in Order.objects.prefetch_related("lines"):
        landed = order.landed()
        assert sum(cost.total for cost in landed.values()) == (
            rounded(order.goods * order.rate, "EUR") + rounded(order.carriage * order.rate, "EUR")
        )
        for line in order.lines.with_arrivals():
            cost = summed(Move.objects.filter(arrivals__line=line), "cost")
            came = line.good / line.quantity if line.quantity else Decimal(0)
            assert cost == rounded(landed[line.pk].total * came, "EUR")
    moves = Move.objects.order_by("pk").values_list("source", "target", "quantity", "cost")
    held, gone = replayed(moves, "EUR")
    came = summed(Move.objects.filter(source=None), "cost")
    assert sum(one.cost for one in held.values()) + sum(gone.values()) == came
    assert all(one.cost >= 0 for one in held.values())
    assert all(one.quantity == Stock.objects.get(pk=row).quantity for row, one in held.items())
    costs = Stock.objects.costs_of([tray.pk for tray in trays], "EUR").values()
    assert sum(cost.total for cost in costs) == came
