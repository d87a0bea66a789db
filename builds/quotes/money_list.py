"""The money tables of a job as rows for a spreadsheet."""

import csv
import io
from datetime import date
from decimal import Decimal

from django.utils.translation import gettext as _

from parts.catalogue.listing import safe_text
from parts.workshop.money import rounded

from .bills import Bill, Payment
from .models import StagePayment


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


def as_csv(rows):
    """Bytes of a CSV file in UTF-8 with its mark; texts as no spreadsheet takes for a formula, numbers as numbers."""
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=";").writerows([[_cell(cell) for cell in row] for row in rows])
    return out.getvalue().encode("utf-8-sig")


def _cell(value):
    if isinstance(value, Decimal):
        return f"{value:f}"
    return value.isoformat() if isinstance(value, date) else safe_text(str(value))
