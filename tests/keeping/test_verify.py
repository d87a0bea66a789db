"""Each kind of damage is named, and a sound workshop has none."""

import io
from decimal import Decimal as D

import pytest
from django.core.files.storage import default_storage
from django.core.management import CommandError, call_command
from django.db import connection

from builds.quotes.bills import Payment
from builds.quotes.models import IssueLine, StagePayment
from builds.sheets.models import Document
from parts.shelf.models import Move, Stock, Unit
from parts.workshop.models import Workshop

pytestmark = pytest.mark.django_db


def path_of(name):
    return default_storage.path(name)


def verified():
    """(what verify printed, the error it ended with or "")."""
    said = io.StringIO()
    try:
        call_command("verify", stdout=said)
    except CommandError as error:
        return said.getvalue(), str(error)
    return said.getvalue(), ""


def finds(*sentences):
    """Verify ends with an error and says these, each once, and nothing else."""
    said, error = verified()
    found = [line.removeprefix("  - ") for line in said.splitlines() if line.startswith("  - ")]
    assert found == list(sentences)
    assert error.startswith(f"{len(sentences)} do not agree.")


def test_a_sound_workshop_agrees(kept):
    said, error = verified()
    assert error == ""
    assert said.count("agrees") == len(said.splitlines()) == 7


def test_an_empty_one_agrees_too():
    assert verified()[1] == ""


def test_a_document_with_another_byte_in_it(kept):
    document = kept["issue"].document
    with open(path_of(document.path), "r+b") as pdf:
        pdf.seek(200)
        pdf.write(b"~")
    finds(f"document quote-{document.number}-1.pdf is not as it was stored: {document.path}")


def test_a_document_that_is_gone(kept):
    document = kept["bill"].document
    default_storage.delete(document.path)
    finds(f"document {document.file_name} is missing: {document.path}")


def test_a_photo_that_is_gone_or_another(kept):
    photo = kept["photo"]
    default_storage.delete(photo.path(small=True))
    with open(path_of(photo.path()), "ab") as large:
        large.write(b"appended")
    finds(
        f"photo {photo.pk} is not as it was stored: {photo.path()}",
        f"small picture of photo {photo.pk} is missing: {photo.path(small=True)}",
    )


def test_a_logo_that_is_gone():
    Workshop.current()
    Workshop.objects.update(logo_sha256="ab" * 32)
    finds(f"logo is missing: logos/{'ab' * 32}.png")


def test_a_count_changed_behind_the_books_back(kept):
    Stock.objects.filter(pk=kept["stock"].pk).update(quantity=D(7))
    finds(f"7 × {kept['stock'].part} in free shelf (bench): its moves come to 2")


def test_a_move_that_vanished(kept):
    Unit.objects.update(received=None)
    Move.objects.filter(source=None).delete()
    finds(f"2 × {kept['stock'].part} in free shelf (bench): its moves come to -1")


def test_a_serial_number_of_nothing(kept):
    part, free = kept["stock"].part, kept["stock"].tray
    for serial in ("A3", "A4"):
        Unit.objects.create(part=part, tray=free, serial=serial)
    finds(f"3 serial numbers of {part} in free shelf, where 2 lie")


def test_a_quote_whose_line_was_changed(kept):
    line = kept["issue"].lines.order_by("pk").first()
    IssueLine.objects.filter(pk=line.pk).update(amount=D(110))
    finds(f"{kept['issue']}: its lines come to 900.00 EUR, 888.00 EUR is written down")


def test_a_quote_whose_stage_payments_were_changed(kept):
    last = StagePayment.objects.filter(issue=kept["issue"]).order_by("position").last()
    StagePayment.objects.filter(pk=last.pk).update(amount=D(1))
    finds(f"{kept['issue']}: its stage payments do not come to its total of 888.00 EUR")


def test_a_paper_that_says_something_else(kept):
    quote, bill = kept["issue"].document, kept["bill"].document
    Document.objects.filter(pk=quote.pk).update(data=quote.data | {"total": "1.00"})
    Document.objects.filter(pk=bill.pk).update(data=bill.data | {"due": "1.00"})
    finds(
        f"{kept['issue']}: its paper says another total than 888.00 EUR",
        f"{kept['bill']}: its paper says another amount than 192.00 EUR",
    )


def test_a_payment_that_vanished_or_was_made_up(kept):
    Payment.objects.update(amount=D(192))
    finds(f"{kept['bill']}: its payments come to 192.00 EUR, the trail says 100.00 EUR")


def test_a_bill_that_vanished(kept):
    kept["bill"].payments.all().delete()
    kept["bill"].delete()
    finds("B-0001 was given out and is not there")


def test_a_row_that_points_nowhere(kept):
    if connection.vendor == "postgresql":
        return  # it keeps its keys by itself: such a row cannot be written
    table = Unit._meta.db_table
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA defer_foreign_keys=ON")
        cursor.execute(f"UPDATE {table} SET received_id = 99999 WHERE serial = 'A2'")
        row = Unit.objects.get(serial="A2").pk
        finds(f"row {row} of {table} points to a row of {Move._meta.db_table} that is not there")
        cursor.execute(f"UPDATE {table} SET received_id = NULL WHERE serial = 'A2'")
