"""The arithmetic of a quote on plain Decimals: lines, margin, tax, totals, what the workshop keeps.

Totals follow the calculation rules of EN 16931-1 (BR-CO-10 to BR-CO-17, BR-S-08): tax is grouped by category and
rate and computed once per group from the group's base. Every amount is rounded half away from zero to the currency's
minor unit by the one rounding function. No database, no request.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from django.utils.translation import gettext as _

from parts.workshop.money import rounded

PERCENT = Decimal("0.01")
UNTAXED = frozenset("EOZ")  # exempt, outside the scope of tax, zero rate (UNCL 5305)
FINE = Decimal("0.0001")  # small parts sold by the piece keep four decimals


@dataclass(frozen=True)
class Rate:
    """A tax category (UNCL 5305: S, Z, E, O) and its per cent."""

    category: str = "S"
    percent: Decimal = Decimal(0)

    def of(self, base):
        """Tax of a base, unrounded."""
        return Decimal(0) if self.category in UNTAXED else base * self.percent * PERCENT

    def within(self, gross):
        """Tax held in an amount that includes it, unrounded."""
        return Decimal(0) if self.category in UNTAXED else gross * self.percent / (100 + self.percent)


@dataclass(frozen=True)
class Taxed:
    """An amount with its rate: a line's net amount, a document's allowance or charge (both positive)."""

    amount: Decimal
    rate: Rate


@dataclass(frozen=True)
class TaxGroup:
    """Everything of one category and rate: BT-118, BT-119, base BT-116, tax BT-117."""

    rate: Rate
    base: Decimal
    tax: Decimal


@dataclass(frozen=True)
class Totals:
    """The sums of a document, with EN 16931's term for each."""

    lines: Decimal  # BT-106
    allowances: Decimal  # BT-107
    charges: Decimal  # BT-108
    net: Decimal  # BT-109
    tax: Decimal  # BT-110
    total: Decimal  # BT-112
    prepaid: Decimal  # BT-113
    due: Decimal  # BT-115
    groups: tuple[TaxGroup, ...]


def line_amount(quantity, unit_price, currency, base_quantity=Decimal(1), allowance=Decimal(0), charge=Decimal(0)):
    """Net amount of a line (BT-131): quantity × price / base quantity + charge − allowance, rounded.

    unit_price may have any number of decimals and buys base_quantity. ValueError for a base quantity not above zero.

    >>> line_amount(Decimal(3), Decimal("49.00"), "EUR")
    Decimal('147.00')
    >>> line_amount(Decimal(250), Decimal("3.99"), "EUR", base_quantity=Decimal(100))
    Decimal('9.98')
    """
    if base_quantity <= 0:
        raise ValueError(_("The quantity a price is for must be above zero."))
    exact = quantity * unit_price
    goods = rounded(exact if base_quantity == 1 else exact / base_quantity, currency)
    return goods + rounded(charge, currency) - rounded(allowance, currency) if charge or allowance else goods


def per_cent_of(base, percent, currency):
    """An allowance or charge given in per cent of a base, rounded.

    >>> per_cent_of(Decimal("1500.00"), Decimal(10), "DKK")
    Decimal('150.00')
    """
    return rounded(base * percent * PERCENT, currency)


def price_by_margin(cost, margin_percent, currency):
    """Selling price whose margin (per cent of the price itself) over a landed cost is margin_percent.

    Rounded to the minor unit; below one unit of currency to four decimals, so that a screw keeps its price.
    ValueError for a margin of 100 or more: no price reaches it.

    >>> price_by_margin(Decimal("80.00"), Decimal(20), "EUR")
    Decimal('100.00')
    """
    if margin_percent >= 100:
        raise ValueError(_("A margin is per cent of the selling price; it stays below 100."))
    return _as_price(cost / (1 - margin_percent * PERCENT), currency)


def price_by_markup(cost, markup_percent, currency):
    """Selling price from a landed cost and a mark-up, which is per cent of the cost.

    >>> price_by_markup(Decimal("80.00"), Decimal(25), "EUR")
    Decimal('100.00')
    """
    return _as_price(cost * (1 + markup_percent * PERCENT), currency)


def _as_price(exact, currency):
    return exact.quantize(FINE, ROUND_HALF_UP) if 0 < abs(exact) < 1 else rounded(exact, currency)


def margin_of(price, cost):
    """Margin of a price over a cost, in per cent of the price; None where there is no price.

    >>> margin_of(Decimal(100), Decimal(80))
    Decimal('20.00')
    """
    return ((price - cost) / price * 100).quantize(PERCENT, ROUND_HALF_UP) if price else None


def total_up(
    lines: Iterable[Taxed],
    currency: str,
    *,
    allowances: Iterable[Taxed] = (),
    charges: Iterable[Taxed] = (),
    prepaid: Decimal = Decimal(0),
    payable_rounding: Decimal = Decimal(0),
    prices_with_tax: bool = False,
    per_item: bool = False,
) -> Totals:
    """Sum a document.

    prices_with_tax: all amounts include tax; the gross stays as quoted and the tax is taken out of each group.
    per_item: tax is rounded for every item and summed, the basis some sales taxes let the seller elect
    (Streamlined Sales and Use Tax Agreement, § 324); otherwise once per group (EN 16931).
    """
    lines, allowances, charges = list(lines), list(allowances), list(charges)
    signed = [*lines, *charges, *(Taxed(-each.amount, each.rate) for each in allowances)]
    by_rate = defaultdict(list)
    for each in signed:
        by_rate[each.rate].append(each.amount)
    groups = tuple(
        _group(rate, by_rate[rate], currency, prices_with_tax, per_item)
        for rate in sorted(by_rate, key=lambda rate: (UNTAXED.issuperset(rate.category), -rate.percent, rate.category))
    )
    net, tax = sum((g.base for g in groups), Decimal(0)), sum((g.tax for g in groups), Decimal(0))
    return Totals(
        lines=_sum(lines),
        allowances=_sum(allowances),
        charges=_sum(charges),
        net=net,
        tax=tax,
        total=net + tax,
        prepaid=prepaid,
        due=net + tax - prepaid + payable_rounding,
        groups=groups,
    )


def _sum(taxed):
    return sum((each.amount for each in taxed), Decimal(0))


def _group(rate, amounts, currency, prices_with_tax, per_item):
    reckon = rate.within if prices_with_tax else rate.of
    whole = sum(amounts, Decimal(0))
    if per_item:
        tax = sum((rounded(reckon(amount), currency) for amount in amounts), Decimal(0))
    else:
        tax = rounded(reckon(whole), currency)
    return TaxGroup(rate, whole - tax if prices_with_tax else whole, tax)


def per_hour(net, bought, hours, currency):
    """Contribution per hour in the currency's minor unit, or None without hours or a price.

    net: price without tax; bought: cost of what was bought for it; hours: > 0.

    >>> per_hour(Decimal(5200), Decimal(3400), Decimal(40), "EUR")
    Decimal('45.00')
    """
    return rounded((net - bought) / hours, currency) if hours and net is not None else None


@dataclass(frozen=True)
class Costed:
    """A line as the workshop sees it: its kind, quantity, cost each (None: not known) and net amount."""

    kind: str
    quantity: Decimal
    unit_cost: Decimal | None
    amount: Decimal


@dataclass(frozen=True)
class Keep:
    """What the workshop keeps of an offer; for the owner's eyes alone.

    contribution: net less everything bought in. per_hour: that for each hour of bench work, None without hours.
    after_hours: contribution less the hours at cost. complete: every bought part has a cost.
    """

    parts_price: Decimal
    parts_cost: Decimal
    hours: Decimal
    hours_price: Decimal
    hours_cost: Decimal
    contribution: Decimal
    per_hour: Decimal | None
    after_hours: Decimal
    complete: bool

    @property
    def parts_kept(self):
        """Price less cost of the parts, in money: of a change, where a per cent would say nothing."""
        return self.parts_price - self.parts_cost

    @property
    def parts_margin(self):
        return margin_of(self.parts_price, self.parts_cost)


def keep_of(lines: Iterable[Costed], net, currency) -> Keep:
    """What is kept of a net total once its lines' costs are paid."""
    lines = list(lines)
    bought, worked = [x for x in lines if x.kind != "labour"], [x for x in lines if x.kind == "labour"]

    def cost(some):
        return rounded(sum((x.quantity * (x.unit_cost or 0) for x in some), Decimal(0)), currency)

    parts = [x for x in lines if x.kind == "part"]
    hours = sum((x.quantity for x in worked), Decimal(0))
    contribution = net - cost(bought)
    return Keep(
        parts_price=sum((x.amount for x in parts), Decimal(0)),
        parts_cost=cost(parts),
        hours=hours,
        hours_price=sum((x.amount for x in worked), Decimal(0)),
        hours_cost=cost(worked),
        contribution=contribution,
        per_hour=per_hour(net, cost(bought), hours, currency),
        after_hours=contribution - cost(worked),
        complete=all(x.unit_cost is not None for x in parts),
    )
