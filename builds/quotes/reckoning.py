"""An issue's figures: of a draft worked out anew, of a sent one as they were stored."""

from dataclasses import dataclass
from decimal import Decimal

from django.utils.formats import number_format
from django.utils.translation import gettext as _

from parts.workshop.refusal import Refused

from .pricing import (
    Costed,
    Keep,
    Rate,
    Taxed,
    Totals,
    keep_of,
    line_amount,
    margin_of,
    per_cent_of,
    price_by_margin,
    total_up,
)
from .rules import price_of
from .stages import Stage, Unsplit, split

MOST = Decimal("99999999999")  # what an amount's column holds
NO_TAX = Rate("O")  # outside the scope of tax: no rule holds today


@dataclass(frozen=True)
class Reckoning:
    """lines and stages carry their figures; tax_note stands beneath the sums.

    trouble says why the stage payments do not make up the total.
    """

    lines: list
    stages: list
    totals: Totals
    keep: Keep
    tax_note: str = ""
    trouble: str = ""

    def of_kind(self, kind):
        return [line for line in self.lines if line.kind == kind]

    @property
    def parts(self):
        return self.of_kind("part")

    @property
    def work(self):
        return self.of_kind("labour")

    @property
    def others(self):
        return self.of_kind("other")

    @property
    def without_price(self):
        return [line for line in self.lines if line.price_missing]


def reckon_draft(issue, lines, stages, rule):
    """Give lines their price, tax and amount and stages theirs, in memory; Refused for sums no column holds.

    rule: the tax rule of the day or None. Lines bear their own price if typed; else their own margin, the workshop's
    rule for them or the issue's margin makes it from the cost. A line in per cent takes them of all that are not.
    """
    rate = Rate(rule.category, rule.percent) if rule else NO_TAX
    for line in lines:
        if line.kind == "part" and not line.by_hand:
            line.unit_price = _part_price(line, issue)
        line.tax_category, line.tax_percent = rate.category, rate.percent
        line.amount = line_amount(line.quantity, line.unit_price, issue.currency)
    base = sum((line.amount for line in lines if line.percent is None), Decimal(0))
    for line in lines:
        if line.percent is not None:
            line.unit_price = line.amount = per_cent_of(base, line.percent, issue.currency)
        line.margin = None if line.unit_cost is None else margin_of(line.unit_price, line.unit_cost)
        _within_reach(line.amount, line.text)
    made = _summed(issue, lines, stages)
    _within_reach(made.totals.total, _("The total"))
    try:
        wanted = [Stage(stage.basis, stage.value) for stage in stages]
        amounts = split(made.totals.total, wanted, _parts_with_tax(lines, issue.currency), issue.currency)
    except Unsplit as said:
        amounts, trouble = [None] * len(stages), str(said)
    else:
        trouble = ""
    for stage, amount in zip(stages, amounts, strict=True):
        stage.amount = amount
    note = rule.note if rule else _("No tax is charged.")
    return Reckoning(lines, stages, made.totals, made.keep, note, trouble)


def stored(issue, lines, stages):
    """The figures of an issue that was sent, from its own rows."""
    for line in lines:
        line.margin = None if line.unit_cost is None else margin_of(line.unit_price, line.unit_cost)
    return _summed(issue, lines, stages)


def _part_price(line, issue):
    if line.client_supplied or line.unit_cost is None:
        return Decimal(0)
    if line.own_margin is not None:
        return price_by_margin(line.unit_cost, line.own_margin, issue.currency)
    if line.rule_basis:
        return price_of(line.unit_cost, line.rule_basis, line.rule_percent, issue.currency)
    return price_by_margin(line.unit_cost, issue.margin_percent, issue.currency)


def _taxed(lines):
    return [Taxed(line.amount, Rate(line.tax_category, line.tax_percent)) for line in lines]


def _summed(issue, lines, stages):
    totals = total_up(_taxed(lines), issue.currency)
    costed = [Costed(line.kind, line.quantity, line.unit_cost, line.amount) for line in lines]
    keep = keep_of(costed, totals.net, issue.currency)
    return Reckoning(lines, stages, totals, keep, issue.texts.get("tax_note", ""))


def _parts_with_tax(lines, currency):
    return total_up(_taxed([line for line in lines if line.kind == "part"]), currency).total


def _within_reach(amount, what):
    if abs(amount) > MOST:
        raise Refused(
            _("“%(what)s” comes to more than %(most)s; type a smaller quantity or price.")
            % {"what": what, "most": number_format(MOST, force_grouping=True)}
        )
