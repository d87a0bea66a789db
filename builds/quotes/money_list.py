"""The money of a job, and the lines of an issue, as rows for a spreadsheet; no cost and no margin in them."""

from django.utils.translation import gettext as _

from parts.workshop.money import rounded
from parts.workshop.tables import safe_text

from .bills import Bill, Payment
from .models import StagePayment


def safe_rows(rows):
    """Rows whose texts no spreadsheet takes for formulas."""
    for row in rows:
        yield [safe_text(cell) if isinstance(cell, str) else cell for cell in row]


def line_rows(issue, figures):
    """The headings, then a row for each line, tax and the total of an issue, as the client's paper has them."""
    yield [_("what"), _("text"), _("remark"), _("quantity"), _("unit"), _("price each"), _("amount"), _("tax, %")]
    for line in figures.lines:
        price = None if line.client_supplied else line.unit_price.normalize()
        yield [
            line.get_kind_display(), line.text, line.beneath, line.quantity.normalize(), line.unit, price,
            rounded(line.amount, issue.currency), line.tax_percent.normalize(),
        ]  # fmt: skip
    totals = figures.totals
    yield [_("net"), "", "", None, "", None, rounded(totals.net, issue.currency), None]
    for group in totals.groups:
        tax = rounded(group.tax, issue.currency)
        yield [_("tax"), "", "", None, "", None, tax, group.rate.percent.normalize()]
    yield [_("total"), issue.currency, "", None, "", None, rounded(totals.total, issue.currency), None]


def money_rows(job):
    """The headings, then a row for each stage payment, bill and payment of a job; four queries."""
    yield [_("what"), _("number"), _("name"), _("day"), _("to be paid by"), _("amount"), _("currency"), _("for")]
    for stage in StagePayment.objects.agreed([job]).select_related("issue__quote"):
        amount = rounded(stage.amount, stage.issue.currency)
        due = stage.get_due_display()
        yield [_("stage payment"), "", stage.name, "", due, amount, stage.issue.currency, str(stage.issue)]
    bills = {bill.pk: bill for bill in Bill.objects.filter(job=job).select_related("stage_payment", "credits")}
    for bill in bills.values():
        of = bill.stage_payment or bill.credits
        amount = rounded(bill.amount, bill.currency)
        yield [
            bill.get_kind_display(), str(bill), bill.reason, bill.issued_on, bill.due_on, amount, bill.currency,
            str(of or ""),
        ]  # fmt: skip
    for payment in Payment.objects.filter(bill__in=bills):
        bill = bills[payment.bill_id]
        amount = rounded(payment.amount, bill.currency)
        yield [_("payment"), "", payment.note, payment.received_on, "", amount, bill.currency, str(bill)]
