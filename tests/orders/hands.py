"""One process of the stress test: four threads that order, receive, carry, return and undo at random.

Run by test_stress.py as `python hands.py SEED TURNS` with DATABASE_URL naming the test database. Prints as JSON what
these hands believe they did: the pieces of each part they brought in and took out, and which refusals they met.
"""

import json
import os
import random
import sys
import threading
import time
from collections import Counter
from decimal import Decimal
from pathlib import Path

HANDS = 4


def main(seed, turns):
    import django

    sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "builds.settings")
    django.setup()
    from django.db import connection

    if connection.vendor == "sqlite":
        # Eight who never pause: who just wrote asks again first, the others ask ten times a second. Nobody is lost,
        # but on a busy machine one may wait longer than the service's twenty seconds; the waiting is not tested here.
        connection.settings_dict["OPTIONS"]["timeout"] = 120
    done, faults = [], []

    def run(number):
        hand, begun = Hand(seed * HANDS + number), 0.0
        try:
            for _turn in range(turns):
                begun = time.monotonic()
                hand.turn()
            done.append(hand)
        except Exception as fault:
            faults.append(f"{fault!r}, {time.monotonic() - begun:.0f} s into a turn")
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=(number,)) for number in range(HANDS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    tally, did = Counter(), Counter()
    for hand in done:
        tally.update(hand.tally)
        did.update(hand.did)
    sys.stdout.write(json.dumps({"faults": faults, "tally": tally, "did": did}))


class Hand:
    """Somebody at work. tally: {part id: pieces brought in less pieces taken out}, as text for JSON."""

    def __init__(self, seed):
        from parts.workshop.models import Person

        self.chance, self.tally, self.did = random.Random(seed), Counter(), Counter()
        self.by = Person.objects.get(username="stress")

    def turn(self):
        from parts.workshop.refusal import Refused

        acts = {self.order: 2, self.receive: 6, self.carry: 4, self.take_out: 2, self.put_in: 1, self.count: 1,
                self.undo: 2, self.send_back: 2, self.cancel: 1,
                self.call_off: 1, self.reassign: 1, self.find_faulty: 1}  # fmt: skip
        (act,) = self.chance.choices(list(acts), list(acts.values()))
        try:
            self.did[act.__name__ if act() else "nothing to do"] += 1
        except Refused:
            self.did["refused"] += 1

    def some(self, rows):
        return rows.order_by("?").first()

    def number(self, most=3):
        return Decimal(self.chance.randint(1, most))

    def note(self, part_id, quantity):
        self.tally[str(part_id)] += int(quantity)

    def order(self):
        from parts.catalogue.models import Part
        from parts.orders.models import Order
        from parts.shelf.models import Tray
        from parts.suppliers.models import Supplier

        order = Order.draft(self.some(Supplier.objects.all()), self.by)
        for part in Part.objects.order_by("?")[: self.chance.randint(1, 2)]:
            share = {self.some(Tray.objects.filter(is_free_shelf=False)): (self.number(), None)}
            price = Decimal(self.chance.randint(1, 9999)) / 100
            order.add_line(part, Decimal(self.chance.randint(3, 7)), price, self.by, shares=share)
        Order.objects.filter(pk=order.pk).update(carriage=Decimal(self.chance.randint(0, 2000)) / 100)
        order.refresh_from_db()
        order.place(self.by)
        return True

    def receive(self):
        from parts.orders.models import Arrival, OrderLine
        from parts.shelf.models import Place

        line = self.some(OrderLine.objects.filter(order__placed_at__isnull=False).select_related("part", "order"))
        if not line:
            return False
        condition = self.chance.choices([Arrival.GOOD, Arrival.DAMAGED, Arrival.WRONG], [8, 1, 1])[0]
        place = self.some(Place.objects.all()) if condition == Arrival.GOOD else None
        quantity = self.number(4)
        line.receive(quantity, self.by, condition=condition, place=place)
        if place:
            self.note(line.part_id, quantity)
        return True

    def stock(self):
        from parts.shelf.models import Stock

        return self.some(Stock.objects.lying().select_related("part", "tray", "place"))

    def carry(self):
        from parts.shelf.models import Place, Tray

        stock = self.stock()
        if not stock:
            return False
        tray, place = self.some(Tray.objects.all()), self.some(Place.objects.all())
        stock.move(tray=tray, place=place, quantity=self.number(), reason="carried", by=self.by)
        return True

    def take_out(self):
        stock = self.stock()
        if not stock:
            return False
        quantity = self.number()
        stock.take_out(quantity=quantity, reason="used", by=self.by)
        self.note(stock.part_id, -quantity)
        return True

    def put_in(self):
        from parts.catalogue.models import Part
        from parts.shelf.models import Place, Stock, Tray

        part, quantity = self.some(Part.objects.all()), self.number()
        tray, place = self.some(Tray.objects.all()), self.some(Place.objects.all())
        Stock.put_in(part=part, tray=tray, place=place, quantity=quantity, reason="found", by=self.by)
        self.note(part.pk, quantity)
        return True

    def count(self):
        stock = self.stock()
        if not stock:
            return False
        move = stock.correct(found=self.number(4), reason="counted anew", by=self.by)
        self.note(stock.part_id, move.quantity if move.target_id else -move.quantity)
        return True

    def undo(self):
        from parts.orders.models import Arrival

        arrival = self.some(Arrival.objects.standing().select_related("line__order", "line__part"))
        if not arrival:
            return False
        arrival.undo(self.by)
        if arrival.condition == Arrival.GOOD:
            self.note(arrival.line.part_id, -arrival.quantity)
        return True

    def send_back(self):
        from parts.orders.models import ReturnCase

        case = self.some(ReturnCase.objects.filter(state__in=[ReturnCase.OPEN, ReturnCase.SENT]))
        if not case:
            return False
        case.move_on(self.chance.choice([key for key, _word in case.next_states]), self.by)
        return True

    def share(self):
        from parts.orders.models import Share

        return self.some(Share.objects.select_related("line__order", "line__part", "tray"))

    def call_off(self):
        share = self.share()
        if not share:
            return False
        share.line.call_off(share.tray, self.number(), self.by)
        return True

    def reassign(self):
        from parts.shelf.models import Tray

        share = self.share()
        if not share:
            return False
        share.line.reassign(share.tray, self.some(Tray.objects.all()), self.number(), self.by)
        return True

    def find_faulty(self):
        from parts.orders.models import ReturnCase

        stock = self.stock()
        if not stock:
            return False
        quantity = self.number()
        ReturnCase.open_for(stock, quantity=quantity, by=self.by, note="weeps")
        self.note(stock.part_id, -quantity)
        return True

    def cancel(self):
        from parts.orders.models import Order

        order = self.some(Order.objects.filter(placed_at__isnull=False))
        if not order:
            return False
        if order.cancelled_at:
            order.take_up_again(self.by)
        else:
            order.cancel(self.by)
        return True


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]))
