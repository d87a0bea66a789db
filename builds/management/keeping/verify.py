"""Does what is stored agree with itself? Each check yields one sentence for each thing that does not."""

import hashlib
from collections import Counter as Tally
from decimal import Decimal

from django.core.files.storage import default_storage
from django.db import connection
from django.db.models import Count, DecimalField, OuterRef, Subquery, Sum
from django.db.models.functions import Coalesce

from builds.quotes.bills import Bill
from builds.quotes.models import Issue
from builds.quotes.reckoning import stored
from builds.sheets.models import Document
from parts.orders.arrivals import Arrival
from parts.shelf.counting import shown
from parts.shelf.models import Move, Stock, Unit
from parts.workshop.models import AuditEntry, Counter, Workshop
from parts.workshop.money import rounded
from parts.workshop.numbers import label
from parts.workshop.photos import Photo

AMOUNT = DecimalField(max_digits=20, decimal_places=3)


def database():
    """The database's own two checks; PostgreSQL keeps its keys by itself and has no other."""
    if connection.vendor != "sqlite":
        return
    with connection.cursor() as cursor:
        for (said,) in cursor.execute("PRAGMA integrity_check").fetchall():
            if said != "ok":
                yield f"the database is damaged: {said}"
        for table, row, parent, _key in cursor.execute("PRAGMA foreign_key_check").fetchall():
            yield f"row {row} of {table} points to a row of {parent} that is not there"


def documents():
    """Every frozen document lies on disk with the bytes that were frozen."""
    for document in Document.objects.filter(erased_at=None).order_by("pk").iterator():
        yield from _file(document.path, document.sha256, f"document {document.file_name}")


def pictures():
    """Every photo and the logo lie on disk; the large picture, and so the name of both, by its hash."""
    for photo in Photo.objects.order_by("pk").iterator():
        yield from _file(photo.path(), photo.sha256, f"photo {photo.pk}")
        yield from _file(photo.path(small=True), None, f"small picture of photo {photo.pk}")
    shop = Workshop.current()
    if shop.logo_sha256:
        yield from _file(shop.logo_path, shop.logo_sha256, "logo")


def _file(path, sha256, what):
    try:
        with default_storage.open(path) as kept:
            found = hashlib.file_digest(kept, "sha256").hexdigest()
    except FileNotFoundError:
        yield f"{what} is missing: {path}"
    except OSError as error:
        yield f"{what} cannot be read: {error}"
    else:
        if sha256 and found != sha256:
            yield f"{what} is not as it was stored: {path}"


def stock():
    """Every count is what came less what went; no tray names more serial numbers than it holds pieces."""
    came, went = (
        _summed(Move.objects.filter(**{way: OuterRef("pk")}), way, "quantity") for way in ("target", "source")
    )
    for row in Stock.objects.select_related("part", "tray", "place").annotate(reckoned=came - went).order_by("pk"):
        if row.quantity != row.reckoned:
            yield f"{row} ({row.place}): its moves come to {shown(row.reckoned)}"
    held = dict(_by_part_and_tray(Stock.objects.all(), Sum("quantity")))
    for key, units in _by_part_and_tray(Unit.objects.filter(left=None), Count("pk")):
        if units > held.get(key, 0):
            unit = Unit.objects.filter(left=None, part=key[0], tray=key[1]).select_related("part", "tray").first()
            yield f"{units} serial numbers of {unit.part} in {unit.tray}, where {shown(held.get(key, 0))} lie"


def arrivals():
    """What goods in wrote down as good is what it carried into the trays."""
    moved = _summed(Move.objects.filter(arrivals=OuterRef("pk")), "arrivals", "quantity")
    good = Arrival.objects.standing().filter(condition=Arrival.GOOD).select_related("line__part", "line__order")
    for arrival in good.annotate(moved=moved).order_by("pk"):
        if arrival.quantity != arrival.moved:
            yield f"{arrival.line.order}: {arrival} came, but {shown(arrival.moved)} were carried into stock"


def quotes():
    """What was sent adds up: lines to net, tax and total, stage payments to the total, its paper to both."""
    sent = Issue.objects.exclude(document=None).select_related("quote", "document")
    for issue in sent.prefetch_related("lines", "stage_payments").order_by("pk").iterator(chunk_size=200):
        stages = list(issue.stage_payments.all())
        totals = stored(issue, list(issue.lines.all()), stages).totals
        if (totals.net, totals.tax, totals.total) != (issue.net, issue.tax, issue.total):
            lines, said = _money(totals.total, issue), _money(issue.total, issue)
            yield f"{issue}: its lines come to {lines}, {said} is written down"
        if sum(stage.amount or 0 for stage in stages) != issue.total:
            yield f"{issue}: its stage payments do not come to its total of {_money(issue.total, issue)}"
        if not issue.document.erased_at and Decimal(issue.document.data.get("total", "NaN")) != issue.total:
            yield f"{issue}: its paper says another total than {_money(issue.total, issue)}"


def bills():
    """Bills are numbered without a gap, say what their paper says, and were paid what the audit trail says."""
    yield from _missing_numbers()
    paid = Tally()
    for about, after in AuditEntry.objects.filter(verb="paid", about__startswith="bill ").values_list("about", "after"):
        paid[about] += Decimal(after["amount"])
    for bill in Bill.objects.with_paid().select_related("document").order_by("number"):
        paper = bill.document if bill.document and not bill.document.erased_at else None
        if paper and Decimal(paper.data.get("due", "NaN")) != abs(bill.amount):
            yield f"{bill}: its paper says another amount than {_money(bill.amount, bill)}"
        if (bill.paid or 0) != paid[f"bill {bill}"]:
            yield (
                f"{bill}: its payments come to {_money(bill.paid or Decimal(0), bill)}, "
                f"the trail says {_money(Decimal(paid[f'bill {bill}']), bill)}"
            )


def _missing_numbers():
    """The numbers between the first bill and the last given out, and any that the audit trail names, are there."""
    numbers = set(Bill.objects.values_list("number", flat=True))
    last = Counter.objects.filter(series="bill").values_list("last", flat=True).first() or 0
    trail = AuditEntry.objects.filter(verb="billed").values_list("about", flat=True)
    wanted = {label("bill", number) for number in range(min(numbers, default=last + 1), last + 1)}
    wanted |= {about.removeprefix("bill ") for about in trail}
    there = {label("bill", number) for number in numbers}
    yield from (f"{bill} was given out and is not there" for bill in sorted(wanted - there))
    late = sorted(number for number in numbers if number > last)
    yield from (f"{label('bill', number)} has a number that was never given out" for number in late)


CHECKS = {
    "database": database, "documents": documents, "photos and logo": pictures, "stock": stock,
    "goods in": arrivals, "quotes": quotes, "bills and payments": bills,
}  # fmt: skip


def _summed(rows, by, field):
    added = rows.order_by().values(by).annotate(sum=Sum(field)).values("sum")
    return Coalesce(Subquery(added, output_field=AMOUNT), Decimal(0), output_field=AMOUNT)


def _by_part_and_tray(rows, what):
    for part, tray, found in rows.order_by().values("part", "tray").annotate(n=what).values_list("part", "tray", "n"):
        yield (part, tray), found


def _money(amount, row):
    return f"{rounded(amount or Decimal(0), row.currency)} {row.currency}"
