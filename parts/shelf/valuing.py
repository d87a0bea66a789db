"""What stock cost: the cost of what came in, carried along with every move. Pure, on plain values.

Like pieces are alike: what leaves a row of stock takes its share of what the row cost (weighted average, one of the
cost formulas of IAS 2 paragraph 25), to the minor unit, the last of them the rest. So nothing is lost on the way.
"""

from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal

from parts.workshop.money import rounded

NOTHING = Decimal(0)


@dataclass
class Held:
    """A row of stock: how much, what all of it cost, and how much of it has no known cost."""

    quantity: Decimal = NOTHING
    cost: Decimal = NOTHING
    unknown: Decimal = NOTHING

    def give(self, quantity, cost, ours):
        """(cost, unknown quantity) of what leaves; the cost is the average unless it is known by itself."""
        if not self.quantity:
            return NOTHING, NOTHING
        part = min(quantity / self.quantity, Decimal(1))
        going = self.cost if part == 1 else rounded(self.cost * part, ours) if cost is None else min(cost, self.cost)
        unknown = self.unknown if part == 1 else self.unknown * part if cost is None else NOTHING
        self.quantity, self.cost, self.unknown = self.quantity - quantity, self.cost - going, self.unknown - unknown
        return going, unknown

    def take(self, quantity, cost, unknown):
        self.quantity, self.cost, self.unknown = self.quantity + quantity, self.cost + cost, self.unknown + unknown


@dataclass
class TrayCost:
    """What a tray's parts cost. lying: of what lies there; gone: of what left stock from there; unknown: how many
    pieces or metres of it have no known cost."""

    lying: Decimal = NOTHING
    gone: Decimal = NOTHING
    unknown: Decimal = NOTHING

    @property
    def total(self):
        return self.lying + self.gone


def replayed(moves, ours):
    """Follow the cost through moves in the order they were made.

    moves: (source, target, quantity, cost), a None source for what comes in, a None target for what goes out, cost
    None where it follows from the source. Returns ({row: Held}, {row: cost of what left stock from it}).

    >>> held, gone = replayed([(None, "shelf", Decimal(3), Decimal("10.00")), ("shelf", "J-0042", Decimal(1), None),
    ...                        ("shelf", None, Decimal(2), None)], "EUR")
    >>> held["J-0042"].cost, gone["shelf"]
    (Decimal('3.33'), Decimal('6.67'))
    """
    held, gone = defaultdict(Held), defaultdict(Decimal)
    for source, target, quantity, cost in moves:
        if source is None:
            moved, unknown = (NOTHING, quantity) if cost is None else (cost, NOTHING)
        else:
            moved, unknown = held[source].give(quantity, cost, ours)
        if target is None:
            gone[source] += moved
        else:
            held[target].take(quantity, moved, unknown)
    return held, gone


def tray_costs(moves, spots, trays, ours):
    """{tray: TrayCost} of some trays. spots: {row: tray} of the rows that count; see replayed for the rest."""
    held, gone = replayed(moves, ours)
    found = {tray: TrayCost() for tray in trays}
    for row, one in held.items():
        if spots.get(row) in found:
            found[spots[row]].lying += one.cost
            found[spots[row]].unknown += one.unknown
    for row, cost in gone.items():
        if spots.get(row) in found:
            found[spots[row]].gone += cost
    return found
