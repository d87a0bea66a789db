"""Landed cost of parts before they are ordered: the cheapest price and its share of the supplier's usual carriage."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True)
class Offer:
    """What one supplier asks for one unit of a part, with his usual carriage; all in the workshop's currency."""

    supplier: int
    unit_price: Decimal
    carriage: Decimal = Decimal(0)
    carriage_free_from: Decimal | None = None


def cheapest_offers(wanted: Iterable[int], offers: Mapping[int, Iterable[Offer]]):
    """{part: its cheapest Offer, or None}."""
    return {part: min(offers.get(part, ()), key=lambda offer: offer.unit_price, default=None) for part in wanted}


def landed_costs(wanted: Mapping[int, Decimal], offers: Mapping[int, Iterable[Offer]]):
    """Landed cost of one unit of each wanted part: {part: Decimal, or None where no price is known}.

    wanted: {part: quantity}. offers: {part: its offers}. Each part comes from its cheapest offer; a
    supplier's carriage is shared over the goods bought from him by their value, and is nil from his free-carriage
    amount on.
    """
    cheapest = cheapest_offers(wanted, offers)
    goods = defaultdict(Decimal)
    for part, offer in cheapest.items():
        if offer:
            goods[offer.supplier] += offer.unit_price * wanted[part]
    return {part: _landed(offer, goods) for part, offer in cheapest.items()}


def _landed(offer, goods):
    if offer is None:
        return None
    value = goods[offer.supplier]
    free = offer.carriage_free_from is not None and value >= offer.carriage_free_from
    share = Decimal(0) if free or not value else offer.carriage / value
    return (offer.unit_price * (1 + share)).quantize(Decimal("0.0001"))
