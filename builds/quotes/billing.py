"""What stands on a bill, as plain JSON-ready data: its lines, tax by rate, what was billed before. EN 16931's terms.

The data is frozen with the bill's PDF; paper and XML are both made from it and nothing is reckoned twice.
"""

from decimal import Decimal

from django.utils.translation import gettext as _

from parts.workshop.models import Workshop
from parts.workshop.money import rounded, shared

from .pricing import Rate, Taxed, total_up

DEPOSIT, FINAL, REFUND = "deposit", "final", "refund"
CODES = {DEPOSIT: "386", FINAL: "380", REFUND: "381"}  # UNTDID 1001: prepayment invoice, invoice, credit note


def taken_apart(gross, rates, currency):
    """A gross amount shared over (Rate, weight) pairs: [(rate, base, tax)] and what rounding leaves.

    Some gross amounts have no base whose tax, rounded, makes them up again; EN 16931 asks that tax is base × rate
    (BR-CO-17), so the odd cent is left as the amount's rounding (BT-114).

    >>> taken_apart(Decimal("192.00"), [(Rate("S", Decimal(20)), 1)], "EUR")
    ([(Rate(category='S', percent=Decimal('20')), Decimal('160.00'), Decimal('32.00'))], Decimal('0.00'))
    """
    weights = [max(Decimal(weight), Decimal(0)) for _rate, weight in rates]
    apart, left = [], Decimal(0)
    for (rate, _weight), part in zip(rates, shared(gross, weights, currency), strict=True):
        base = part - rounded(rate.within(part), currency)
        tax = rounded(rate.of(base), currency)
        left += part - base - tax
        apart.append((rate, base, tax))
    return apart, rounded(left, currency)


def part_of(issue, text, amount):
    """Lines and sums of a bill for a part of an accepted issue: a stage payment, or money to give back."""
    lines = [Taxed(line.amount, Rate(line.tax_category, line.tax_percent)) for line in issue.lines.all()]
    groups = total_up(lines, issue.currency).groups or total_up([Taxed(Decimal(0), Rate("O"))], issue.currency).groups
    apart, rounding = taken_apart(amount, [(g.rate, g.base + g.tax) for g in groups], issue.currency)
    apart = [each for each in apart if each[1] or each[2]] or apart[:1]
    lines = [_line(text, Decimal(1), "each", base, base, rate) for rate, base, _tax in apart]
    return _summed(lines, apart, Decimal(0), rounding)


def all_of(issues, amount):
    """Lines and sums of the final bill: everything that was agreed, less what was billed before."""
    rows = [line for issue in issues for line in issue.lines.all() if line.amount]
    currency = issues[0].currency
    totals = total_up([Taxed(row.amount, Rate(row.tax_category, row.tax_percent)) for row in rows], currency)
    agreed = sum((issue.total for issue in issues), Decimal(0))
    lines = [_agreed_line(row) for row in rows]
    apart = [(group.rate, group.base, group.tax) for group in totals.groups]
    return _summed(lines, apart, agreed - amount, agreed - totals.total)


def _agreed_line(row):
    """A price stays above zero (BR-27): what takes off has its quantity below."""
    rate, sign = Rate(row.tax_category, row.tax_percent), -1 if row.unit_price < 0 else 1
    return _line(row.text, sign * row.quantity, row.unit, sign * row.unit_price, row.amount, rate, row.beneath)


def _line(text, quantity, unit, price, amount, rate, remark=""):
    return {
        "text": text, "remark": remark, "quantity": str(quantity), "unit": unit, "price": str(price),
        "amount": str(amount), "category": rate.category, "percent": str(rate.percent),
    }  # fmt: skip


def _summed(lines, apart, prepaid, rounding):
    net, tax = sum((base for _r, base, _t in apart), Decimal(0)), sum((tax for _r, _b, tax in apart), Decimal(0))
    groups = [
        {"category": rate.category, "percent": str(rate.percent), "base": str(base), "tax": str(tax)}
        for rate, base, tax in apart
    ]
    sums = {"net": net, "tax": tax, "total": net + tax, "prepaid": prepaid, "rounding": rounding,
            "due": net + tax - prepaid + rounding}  # fmt: skip
    return {"lines": lines, "groups": groups} | {name: str(value) for name, value in sums.items()}


def _in_whole_units(body, currency):
    """Amounts with the currency's own decimals (BR-DEC), whatever their columns hold."""

    def of(row, *names):
        return row | {name: str(rounded(Decimal(row[name]), currency)) for name in names}

    return of(body, "net", "tax", "total", "prepaid", "rounding", "due") | {
        "lines": [of(line, "amount") for line in body["lines"]],
        "groups": [of(group, "base", "tax") for group in body["groups"]],
    }


def data_of(bill, issues, before):
    """All that a bill says. issues: the job's accepted issues in order, lines fetched. before: its earlier bills."""
    stage, sign = bill.stage_payment, -1 if bill.kind == REFUND else 1
    if bill.kind == FINAL:
        body = all_of(issues, bill.amount)
    else:
        issue = stage.issue if stage else bill.credits.issue or issues[0]
        body = part_of(issue, text_of(bill, issue), sign * bill.amount)
    named = before if bill.kind == FINAL else [bill.credits] if bill.credits else []
    body = _in_whole_units(body, bill.currency)
    return body | {
        "number": str(bill), "kind": bill.kind, "code": CODES[bill.kind], "currency": bill.currency,
        "issued_on": bill.issued_on.isoformat(), "due_on": bill.due_on.isoformat(), "reason": bill.reason,
        "job": str(bill.job), "job_title": bill.job.title, "note": issues[-1].texts.get("tax_note", ""),
        "before": [_named(each) for each in named],
        "seller": seller(), "buyer": buyer(bill.job.client),
    }  # fmt: skip


def _named(bill):
    amount = str(rounded(bill.amount, bill.currency))
    return {"number": str(bill), "issued_on": bill.issued_on.isoformat(), "kind": bill.kind, "amount": amount}


def text_of(bill, issue):
    if bill.stage_payment:
        return _("%(stage)s, of %(issue)s") % {"stage": bill.stage_payment.name, "issue": issue}
    return _("Given back of %(bill)s") % {"bill": bill.credits}


def seller():
    shop = Workshop.current()
    return _party(shop.name, shop.address, shop.country, shop.tax_number) | {"email": shop.email, "phone": shop.phone}


def buyer(client):
    return _party(client.name, client.address, client.country or Workshop.current().country, client.tax_number)


def _party(name, address, country, tax_number):
    lines = [line.strip() for line in address.splitlines() if line.strip()]
    return {"name": name, "address": lines, "country": country, "tax_number": tax_number}
