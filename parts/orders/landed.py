"""Landed cost: what a line really costs here, its share of carriage and import charges with it."""

from dataclasses import dataclass
from decimal import Decimal

from parts.workshop.money import rounded, shared


@dataclass(frozen=True)
class Landed:
    """One line in the workshop's currency, each amount in whole minor units."""

    goods: Decimal
    carriage: Decimal
    charges: Decimal

    @property
    def total(self):
        return self.goods + self.carriage + self.charges


def amount(quantity, unit_price, currency):
    """A line's amount in the supplier's currency, as their invoice rounds it.

    >>> amount(Decimal("2.5"), Decimal("3.333"), "EUR")
    Decimal('8.33')
    """
    return rounded(quantity * unit_price, currency)


def landed_lines(amounts, *, rate, carriage, charges, ours, carriage_over=None, charges_over=None):
    """Landed cost of each line of an order, to the cent, nothing lost.

    amounts: line amounts in the supplier's currency. rate: workshop's currency for one of theirs. carriage: in the
    supplier's currency; charges: duty and import charges, in the workshop's currency `ours`. carriage_over,
    charges_over: what each is shared by, a weight for every line; by value when left out. The goods sum to the
    rounded total of all lines. ValueError on a rate that is not above zero.

    >>> [line.total for line in landed_lines([Decimal(60), Decimal(40)], rate=Decimal("1.1"), carriage=Decimal(10),
    ...                                      charges=Decimal("5.01"), ours="EUR")]
    [Decimal('75.61'), Decimal('50.40')]
    """
    if rate <= 0:
        raise ValueError("a rate must be above zero")
    goods = shared(sum(amounts, Decimal(0)) * rate, amounts, ours)
    carriages = shared(carriage * rate, carriage_over or amounts, ours)
    duties = shared(charges, charges_over or amounts, ours)
    return [Landed(*line) for line in zip(goods, carriages, duties, strict=True)]


def portions(total, quantity, arrivals, ours):
    """What each of some arrivals costs of a line's landed total; together the whole once all of it came.

    quantity: how much was ordered. arrivals: how much came, in the order it came; what came beyond the quantity
    costs nothing, as the supplier does not bill it; so does what came although all of the line was called off.

    >>> portions(Decimal("10.00"), Decimal(3), [Decimal(1), Decimal(1), Decimal(2)], "EUR")
    [Decimal('3.33'), Decimal('3.34'), Decimal('3.33')]
    """
    costs, came, given = [], Decimal(0), Decimal(0)
    for one in arrivals:
        came = min(came + one, quantity)
        upto = rounded(total * came / quantity, ours) if quantity else Decimal(0)
        costs.append(upto - given)
        given = upto
    return costs


def usual_carriage(goods, carriage, free_from):
    """Carriage a supplier asks for goods of this worth; nothing from the free threshold on.

    >>> usual_carriage(Decimal("79.99"), Decimal("6.90"), Decimal(80))
    Decimal('6.90')
    >>> usual_carriage(Decimal(80), Decimal("6.90"), Decimal(80))
    Decimal('0')
    """
    if not goods or (free_from is not None and goods >= free_from):
        return Decimal(0)
    return carriage
