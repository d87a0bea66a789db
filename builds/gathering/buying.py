"""What is missing and where to buy it. Plain numbers, no database."""

from collections import defaultdict
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import ROUND_CEILING, Decimal
from itertools import combinations

from parts.orders.landed import usual_carriage

NOTHING = Decimal(0)
# Every set of up to this many suppliers is tried: 2^10 sets answer in hundredths of a second.
MOST_SUPPLIERS = 10


@dataclass(frozen=True)
class Need:
    """A role needs some of a part. brought: the client supplies it."""

    role: Hashable
    part: Hashable
    quantity: Decimal
    brought: bool = False


@dataclass(frozen=True)
class Fill:
    """How far a need is met. coming: [(quantity, what brings it)], the soonest first."""

    need: Need
    here: Decimal = NOTHING
    coming: tuple = ()
    shelf: Decimal = NOTHING
    missing: Decimal = NOTHING

    @property
    def coming_quantity(self):
        return sum((quantity for quantity, _by in self.coming), NOTHING)


def fill(needs: Sequence[Need], *, here: Mapping, brought: Mapping, coming: Mapping, shelf: Mapping) -> list[Fill]:
    """Meet the needs in their order: from the job's tray, from its orders, from the free shelf; the rest is missing.

    here, brought, shelf: {part: quantity}: ours in the tray, the client's own in the tray, ours on the free shelf.
    coming: {part: [(quantity, what brings it)]}. What the client supplies is met by his own parts alone.
    """
    left = {"here": dict(here), "brought": dict(brought), "shelf": dict(shelf)}
    on_order = {part: list(entries) for part, entries in coming.items()}

    def take(source, part, wanted):
        taken = min(left[source].get(part, NOTHING), wanted)
        left[source][part] = left[source].get(part, NOTHING) - taken
        return taken

    fills = []
    for need in needs:
        if need.brought:
            got = take("brought", need.part, need.quantity)
            fills.append(Fill(need, here=got, missing=need.quantity - got))
            continue
        got = take("here", need.part, need.quantity)
        brings, wanted, rest = _taken(on_order.get(need.part, []), need.quantity - got)
        on_order[need.part] = rest
        shelf_part = take("shelf", need.part, wanted)
        fills.append(Fill(need, got, tuple(brings), shelf_part, wanted - shelf_part))
    return fills


def _taken(entries, wanted):
    """What is taken of some entries, what is wanted still, and the entries that remain."""
    taken, rest = [], []
    for quantity, by in entries:
        part = min(quantity, wanted)
        wanted -= part
        if part:
            taken.append((part, by))
        if quantity > part:
            rest.append((quantity - part, by))
    return taken, wanted, rest


@dataclass(frozen=True)
class Offer:
    """What one supplier asks for a pack of a part, in the workshop's currency; None where no rate is known."""

    supplier: Hashable
    pack_price: Decimal | None
    pack_size: Decimal = Decimal(1)
    days: int = 0

    def packs(self, quantity):
        return (quantity / self.pack_size).to_integral_value(ROUND_CEILING)

    def bought(self, quantity):
        """How much one has to buy to have `quantity`: whole packs.

        >>> Offer("a", Decimal(9), pack_size=Decimal(4)).bought(Decimal(18))
        Decimal('20')
        """
        return self.packs(quantity) * self.pack_size

    def cost(self, quantity):
        return self.packs(quantity) * self.pack_price


@dataclass(frozen=True)
class Terms:
    """A supplier's terms in the workshop's currency. drafted: goods that stand on a draft to him already."""

    carriage: Decimal = NOTHING
    free_from: Decimal | None = None
    drafted: Decimal = NOTHING

    def carriage_for(self, goods):
        """What goods add to the carriage; less than nothing when they lift a draft over the free threshold."""
        if not goods:
            return NOTHING
        before = usual_carriage(self.drafted, self.carriage, self.free_from)
        return usual_carriage(self.drafted + goods, self.carriage, self.free_from) - before


@dataclass
class Choice:
    """Which offer for which part. unpriced: parts that nobody sells at a price known here."""

    offers: dict = field(default_factory=dict)
    unpriced: list = field(default_factory=list)

    def goods(self, wanted):
        """{supplier: worth of the goods}."""
        goods = defaultdict(Decimal)
        for part, offer in self.offers.items():
            goods[offer.supplier] += offer.cost(wanted[part])
        return goods

    def total(self, wanted, terms):
        """Goods and carriage together."""
        return sum((worth + terms[s].carriage_for(worth) for s, worth in self.goods(wanted).items()), NOTHING)


def choose(wanted: Mapping, offers: Mapping, terms: Mapping, *, by="price", fixed: Mapping | None = None) -> Choice:
    """The offer to take for each wanted part.

    wanted: {part: quantity}. offers: {part: [Offer]}. terms: {supplier: Terms}. by: "price" for the smallest sum of
    goods and carriage, "date" for the shortest lead time of each part. fixed: {part: supplier} chosen by hand.
    """
    usable, unpriced = {}, []
    for part in wanted:
        known = [offer for offer in offers.get(part, ()) if offer.pack_price is not None]
        picked = [offer for offer in known if offer.supplier == (fixed or {}).get(part)]
        if known:
            usable[part] = sorted(picked or known, key=lambda o: (o.cost(wanted[part]), o.days, str(o.supplier)))
        else:
            unpriced.append(part)
    if by == "date":
        soonest = {part: min(known, key=lambda o: (o.days, o.cost(wanted[part]))) for part, known in usable.items()}
        return Choice(soonest, unpriced)
    return Choice(_cheapest(wanted, usable, terms), unpriced)


def _cheapest(wanted, usable, terms):
    """The cheapest assignment over every set of suppliers, then improved by single changes that pay."""
    alone = {part: known[0] for part, known in usable.items()}
    forced = {known[0].supplier for known in usable.values() if len(known) == 1}
    others = sorted({o.supplier for known in usable.values() for o in known} - forced, key=str)
    if len(others) > MOST_SUPPLIERS:
        lines = [offer.supplier for offer in alone.values()]
        others = sorted(others, key=lambda s: -lines.count(s))[:MOST_SUPPLIERS]
    best, least = alone, Choice(alone).total(wanted, terms)
    for size in range(len(others) + 1):
        for some in combinations(others, size):
            chosen = _within(usable, forced.union(some))
            total = chosen and Choice(chosen).total(wanted, terms)
            if chosen and total < least:
                best, least = chosen, total
    return _improved(best, least, wanted, usable, terms)


def _within(usable, suppliers):
    """The cheapest goods from these suppliers alone, or None when some part is not to be had from them."""
    chosen = {}
    for part, known in usable.items():
        offer = next((o for o in known if o.supplier in suppliers), None)
        if offer is None:
            return None
        chosen[part] = offer
    return chosen


def _improved(chosen, total, wanted, usable, terms):
    """Change one line at a time while the sum falls: a dearer line may lift an order over its free threshold."""
    while True:
        trials = (
            (Choice({**chosen, part: offer}).total(wanted, terms), part, offer)
            for part, known in usable.items()
            for offer in known
            if offer != chosen[part]
        )
        sum_, part, offer = min(trials, key=lambda trial: trial[0], default=(total, None, None))
        if sum_ >= total:
            return chosen
        chosen, total = {**chosen, part: offer}, sum_
