"""Stage payments: a total split as agreed, to the last cent."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext as _

from parts.workshop.money import rounded, shared


@dataclass(frozen=True)
class Stage:
    """How one stage payment is reckoned: percent of the total, all parts, fixed, or rest."""

    basis: str
    value: Decimal = Decimal(0)


class Unsplit(ValueError):
    """The stage payments cannot make up the total; the text says what to change."""


def split(total: Decimal, stages: Sequence[Stage], parts_total: Decimal, currency: str) -> list[Decimal]:
    """Amount of each stage payment; they sum exactly to the rounded total.

    Per cents are rounded on their running sum, so 33.3 + 33.3 + 33.4 of any total lose nothing. parts_total is what
    all parts cost the client, tax included. Several rests share alike. Unsplit when the stages come to more than the
    total, or to less and none of them is the rest.

    >>> split(Decimal("4242.84"), [Stage("parts"), Stage("rest")], Decimal("2738.04"), "GBP")
    [Decimal('2738.04'), Decimal('1504.80')]
    """
    total = rounded(total, currency)
    if not stages:
        raise Unsplit(_("There is no stage payment; add one, “the rest” if all is paid at once."))
    amounts = _named(total, stages, parts_total, currency)
    left = total - sum((a for a in amounts if a is not None), Decimal(0))
    rests = amounts.count(None)
    come_to = _("The stage payments come to %(sum)s, the total is %(total)s.") % {"sum": total - left, "total": total}
    if left and not rests:
        raise Unsplit(come_to + " " + _("Make one of them “the rest”, or change their values."))
    if (left < 0 < total) or (left > 0 > total) or (left and not total):
        raise Unsplit(come_to + " " + _("Lower one of them."))
    shares = _shares(left, rests, currency)
    return [next(shares) if amount is None else amount for amount in amounts]


def _named(total, stages, parts_total, currency):
    """The amounts that stand by themselves; None for a rest."""
    amounts, percent, given = [], Decimal(0), Decimal(0)
    for stage in stages:
        if stage.basis == "percent":
            percent += stage.value
            upto = rounded(total * percent / 100, currency)
            amounts.append(upto - given)
            given = upto
        elif stage.basis == "parts":
            amounts.append(rounded(parts_total, currency))
        elif stage.basis == "fixed":
            amounts.append(rounded(stage.value, currency))
        else:
            amounts.append(None)
    return amounts


def _shares(left, count, currency):
    sign = -1 if left < 0 else 1
    return iter([sign * share for share in shared(abs(left), [1] * count, currency)])
