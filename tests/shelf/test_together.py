"""Several hands at once: nothing is lost, promised twice or below zero, on SQLite and PostgreSQL alike."""

import random
import threading
from decimal import Decimal

import pytest
from django.db import connection
from django.db.models import Sum

from parts.shelf.models import Move, Place, Stock, Tray
from parts.workshop.refusal import Refused
from tests.factories import PartFactory, PersonFactory, PlaceFactory


def at_once(work, hands):
    """Run work(0) … work(hands - 1), each in a thread of its own; every error is raised here."""
    faults = []
    start = threading.Barrier(hands)

    def run(hand):
        try:
            start.wait()
            work(hand)
        except Exception as fault:  # carried to the test's own thread
            faults.append(fault)
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=(hand,)) for hand in range(hands)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if faults:
        raise faults[0]


@pytest.mark.django_db(transaction=True)
def test_six_pairs_of_hands_reach_for_four_fans():
    by, part, place = PersonFactory(), PartFactory(), PlaceFactory()
    shelf = Tray.free_shelf()
    trays = [Tray.objects.create(name=f"tray {n}") for n in range(6)]
    Stock.put_in(part=part, tray=shelf, place=place, quantity=Decimal(4), reason="counted", by=by)
    refused = []

    def reach(hand):
        stock = Stock.objects.get(tray=shelf)
        try:
            stock.move(tray=trays[hand], quantity=Decimal(1), reason="for a job", by=by)
        except Refused as refusal:
            refused.append(refusal)

    at_once(reach, 6)
    assert len(refused) == 2
    assert Stock.objects.get(tray=shelf).quantity == 0
    assert Stock.objects.filter(tray__in=trays).aggregate(n=Sum("quantity"))["n"] == 4


@pytest.mark.django_db(transaction=True)
def test_after_many_random_moves_every_piece_is_accounted_for():
    by = PersonFactory()
    parts = PartFactory.create_batch(3)
    trays = [Tray.free_shelf(), *(Tray.objects.create(name=f"tray {n}") for n in range(3))]
    places = [Place.named(name) for name in ("bench", "box")]

    def shuffle(hand):
        chance = random.Random(hand)
        for _turn in range(25):
            part, tray, place = chance.choice(parts), chance.choice(trays), chance.choice(places)
            stock = Stock.objects.lying().filter(part=part, tray=tray).first()
            quantity = Decimal(chance.randint(1, 3))
            try:
                if stock and chance.random() < 0.7:
                    stock.move(tray=chance.choice(trays), place=place, quantity=quantity, reason="moved", by=by)
                elif stock and chance.random() < 0.4:
                    stock.take_out(quantity=quantity, reason="used", by=by)
                else:
                    Stock.put_in(part=part, tray=tray, place=place, quantity=quantity, reason="came", by=by)
            except Refused:
                pass

    at_once(shuffle, 4)
    for stock in Stock.objects.all():
        came = stock.moves_in.aggregate(n=Sum("quantity"))["n"] or 0
        went = stock.moves_out.aggregate(n=Sum("quantity"))["n"] or 0
        assert stock.quantity == came - went >= 0
    assert Move.objects.filter(source__isnull=False, target__isnull=False).exists()
