"""What a spec's parts cost as things stand: the cheapest price of each, landed. For the owner's eyes alone."""

from collections import defaultdict
from dataclasses import dataclass, field
from decimal import Decimal

from parts.suppliers.models import SupplierPrice
from parts.workshop.money import rounded

from .landed import Offer, cheapest_offers, landed_costs


@dataclass(frozen=True)
class Costs:
    """unit: {part: landed cost of one of its units, or None}. total: of all lines that have one, rounded line by line.

    unpriced: how many lines have no usable price; those the client supplies cost nothing. sellers: {part: id of the
    supplier the cost rests on}.
    """

    currency: str
    unit: dict = field(default_factory=dict)
    total: Decimal = Decimal(0)
    unpriced: int = 0
    sellers: dict = field(default_factory=dict)

    def of(self, line):
        """Landed cost of a whole line, or None where no price is known or the client brings the part."""
        unit = None if line.client_supplied else self.unit.get(line.part_id)
        return None if unit is None else rounded(unit * line.quantity, self.currency)


def costs_of(lines, currency):
    """The Costs of spec lines, in one query."""
    ours = [line for line in lines if not line.client_supplied]
    wanted = defaultdict(Decimal)
    for line in ours:
        wanted[line.part_id] += line.quantity
    offers = offers_for(wanted, currency)
    unit = landed_costs(wanted, offers)
    sellers = {part: offer.supplier for part, offer in cheapest_offers(wanted, offers).items() if offer}
    costs = Costs(currency, unit)
    each = [costs.of(line) for line in ours]
    total = sum((cost for cost in each if cost is not None), Decimal(0))
    return Costs(currency, unit, total, each.count(None), sellers)


def offers_for(parts, currency):
    """{part: [Offer]} of the given parts in one currency, in one query; a supplier without a rate offers nothing."""
    offers = defaultdict(list)
    for price in SupplierPrice.objects.filter(part__in=list(parts)).select_related("supplier"):
        seller = price.supplier
        if rate := seller.rate_in(currency):
            free_from = None if seller.free_carriage_from is None else seller.free_carriage_from * rate
            offers[price.part_id].append(Offer(seller.pk, price.unit_price * rate, seller.carriage * rate, free_from))
    return offers


def costs_for_parts(parts, currency):
    """{part: landed cost of one of its units, bought alone}; parts without a usable price are left out."""
    offers = offers_for((part.pk for part in parts), currency)
    costs = {part.pk: landed_costs({part.pk: Decimal(1)}, offers)[part.pk] for part in parts}
    return {part: rounded(cost, currency) for part, cost in costs.items() if cost is not None}
