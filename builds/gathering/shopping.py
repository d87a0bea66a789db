"""The list of what a job still has to buy, grouped by supplier."""

from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal

from parts.catalogue.carriage import DEARER, consignments, rank
from parts.orders.models import Order
from parts.suppliers.models import SupplierPrice
from parts.workshop.models import Workshop

from .buying import Choice, Offer, Terms, choose


@dataclass
class BuyLine:
    """One part to buy: how much is wanted, the offers known, the one taken; by_hand: somebody chose it."""

    part: object
    wanted: Decimal
    prices: list
    offer: Offer
    price: SupplierPrice
    by_hand: bool

    @property
    def bought(self):
        return self.offer.bought(self.wanted)

    @property
    def cost(self):
        """In the workshop's currency."""
        return self.offer.cost(self.wanted)


@dataclass
class Basket:
    """What to buy from one supplier, in the workshop's currency. draft: an order drafted to him already, or None."""

    supplier: object
    lines: list
    carriage: Decimal
    draft: Order | None
    rate: Decimal | None
    terms: Terms

    @property
    def goods(self):
        return sum((line.cost for line in self.lines), Decimal(0))

    @property
    def total(self):
        return self.goods + self.carriage

    @property
    def consignments(self):
        """How its goods travel: [(class, its name, lines)]."""
        return consignments(line.price.carriage_class for line in self.lines)

    @property
    def is_dearer_to_send(self):
        return any(key in DEARER for key, _name, _count in self.consignments)

    @property
    def days(self):
        return max(line.offer.days for line in self.lines)

    @property
    def short_of_free(self):
        """How much more would make carriage free, or None."""
        free = self.terms.free_from
        if free is None or not self.terms.carriage:
            return None
        return max(free - self.terms.drafted - self.goods, Decimal(0)) or None

    @property
    def least(self):
        """The smallest order they take, in the workshop's currency, or None."""
        least = self.supplier.minimum_order
        return None if least is None or self.rate is None else least * self.rate

    @property
    def short_of_minimum(self):
        if self.least is None:
            return None
        return max(self.least - self.terms.drafted - self.goods, Decimal(0)) or None


@dataclass
class BuyList:
    """The buy list of a job: baskets by supplier, and parts nobody sells at a price known here."""

    baskets: list[Basket]
    unpriced: list

    @property
    def total(self):
        return sum((basket.total for basket in self.baskets), Decimal(0))


def buy_list(gathered, *, by="price", fixed=None):
    """A BuyList for what is missing; fixed: {part id: supplier id} chosen by hand."""
    wanted, parts = gathered.wanted, gathered.parts
    prices = defaultdict(list)
    found = SupplierPrice.objects.filter(part__in=wanted).select_related("supplier").order_by("supplier__name")
    for price in found:
        prices[price.part_id].append(price)
    suppliers = {price.supplier_id: price.supplier for price in found}
    drafts = _drafts(suppliers)
    rates = Order.objects.rates(suppliers.values(), Workshop.current().currency)
    terms = {key: _terms(one, drafts.get(key), rates[key]) for key, one in suppliers.items()}
    offers = {part: [_offer(price, rates[price.supplier_id]) for price in known] for part, known in prices.items()}
    choice = choose(wanted, offers, terms, by=by, fixed=fixed)
    goods = choice.goods(wanted)
    baskets = [
        Basket(
            suppliers[key], _lines(key, choice, wanted, parts, prices, fixed or {}),
            terms[key].carriage_for(goods[key]), drafts.get(key), rates[key], terms[key],
        )
        for key in sorted(goods, key=lambda key: suppliers[key].name)
    ]  # fmt: skip
    return BuyList(baskets, [(parts[part], prices[part]) for part in choice.unpriced])


def _lines(supplier, choice: Choice, wanted, parts, prices, fixed):
    lines = [
        BuyLine(
            parts[part], wanted[part], prices[part], offer,
            next(price for price in prices[part] if price.supplier_id == supplier), fixed.get(part) == supplier,
        )
        for part, offer in choice.offers.items()
        if offer.supplier == supplier
    ]  # fmt: skip
    return sorted(lines, key=lambda line: rank(line.price.carriage_class))


def _drafts(suppliers):
    """{supplier id: the oldest draft to him}, lines with it."""
    drafts = Order.objects.filter(supplier__in=suppliers, placed_at=None, cancelled_at=None)
    return {order.supplier_id: order for order in drafts.order_by("-number").prefetch_related("lines")}


def _terms(supplier, draft, rate):
    rate = rate or Decimal(0)
    free = supplier.free_carriage_from
    drafted = draft.goods * rate if draft else Decimal(0)
    return Terms(supplier.carriage * rate, None if free is None else free * rate, drafted)


def _offer(price, rate):
    pack = None if rate is None else price.price * rate
    return Offer(price.supplier_id, pack, price.pack_size, price.days)
