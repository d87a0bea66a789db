"""The final account: what was agreed, billed and paid. No cost of ours, no margin, no hour at cost."""

from decimal import Decimal

ACCEPTED = "accepted"


def account_of(job):
    """{agreed, variations, bills, total, paid, open, currency} of a job, in a few queries; None before any acceptance.

    agreed, variations: accepted issues in order. bills: (bill, paid). open: what is still to be paid.
    """
    quotes = job.quotes.prefetch_related("issues__lines").order_by("number")
    issues = [(quote, issue) for quote in quotes for issue in quote.issues.all() if issue.state == ACCEPTED]
    if not issues:
        return None
    bills = [
        (bill, sum((payment.amount for payment in bill.payments.all()), Decimal(0)))
        for bill in job.bills.prefetch_related("payments")
    ]
    total = sum((issue.total or Decimal(0) for _quote, issue in issues), Decimal(0))
    paid = sum((paid for _bill, paid in bills), Decimal(0))
    return {
        "agreed": [issue for quote, issue in issues if quote.alters_id is None],
        "variations": [issue for quote, issue in issues if quote.alters_id is not None],
        "bills": bills, "total": total, "paid": paid, "open": total - paid, "currency": issues[0][1].currency,
    }  # fmt: skip
