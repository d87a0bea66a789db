"""Real files as they should not be, sent through the pages: told clearly and by their place, nothing half-kept."""

import io
import time
import zipfile

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from openpyxl import Workbook, load_workbook

from parts.catalogue.drafts import ImportDraft
from parts.catalogue.models import Fact, Part
from parts.suppliers.models import Supplier, SupplierPrice
from tests.catalogue.test_workbook import with_member, written
from tests.factories import PartFactory, once

from .sending import SEND, correct, match, page_of, save

HEADINGS = ["Name", "Kind", "Supplier", "Price", "Thickness", "Depth of the finned core"]
GOOD = ["Radiator A", "radiator", "Tidewater", 70, "45 mm", "30 mm"]


def workbook(*rows):
    book = Workbook()
    for row in (HEADINGS, *rows):
        book.active.append(row)
    return book


def send(client, data, name):
    return client.post(SEND, once(file=SimpleUploadedFile(name, data)))


def refused(client, data, name):
    """What is said at the file's field; nothing of the file is kept, not even as a list on its way."""
    answer = send(client, data, name)
    assert not ImportDraft.objects.exists()
    assert held() == (0, 0, 0, 0)
    return str(answer.context["form"].errors["file"])


def looked_through(client, data, name="list.xlsx"):
    """(list on its way, its preview's page) of a file that was taken in."""
    answer = send(client, data, name)
    assert answer.status_code == 302, answer.context["form"].errors
    draft = ImportDraft.objects.latest("pk")
    match(client, draft)
    return draft, client.get(page_of(draft)).content.decode()


def held():
    return tuple(model.objects.count() for model in (Part, Fact, SupplierPrice, Supplier))


def nothing_is_saved(client, draft, before=(0, 0, 0, 0)):
    assert "Nothing was saved" in save(client, draft).content.decode()
    assert held() == before
    return True


def test_macros_in_a_workbook_named_for_them(owner_client):
    book = workbook(GOOD)
    data = with_member(written(book), "xl/vbaProject.bin", b"Attribute VB_Name = 1")
    assert "holds macros, which are not taken. Save it as XLSX without macros" in refused(
        owner_client, data, "list.xlsm"
    )


def test_a_formula_whose_result_is_not_in_the_file(owner_client):
    draft, page = looked_through(
        owner_client, written(workbook(GOOD, ["B", "radiator", "Tidewater", "=2*40", "45 mm"]))
    )
    assert "row 3, column D: price" in page
    assert "A formula whose result the file does not hold" in page
    assert nothing_is_saved(owner_client, draft)
    correct(owner_client, draft, cell_2_3="80")
    save(owner_client, draft)
    assert SupplierPrice.objects.get(part__name="B").price == 80


def test_a_merged_price(owner_client):
    book = workbook(GOOD, ["B", "radiator", "Tidewater", None, "45 mm"])
    book.active.merge_cells("D2:D3")
    draft, page = looked_through(owner_client, written(book))
    assert "row 3, column D: price" in page
    assert "Merged with row 2, which says 70" in page
    assert nothing_is_saved(owner_client, draft)


def test_a_hidden_sheet_is_offered_by_name_and_never_read_unasked(owner_client):
    book = workbook(GOOD)
    secret = book.create_sheet("Cost prices")
    secret.append(HEADINGS)
    secret.append(["Hidden one", "radiator", "Tidewater", 1, "45 mm"])
    secret.sheet_state = "veryHidden"
    draft, page = looked_through(owner_client, written(book))
    assert "Hidden one" not in page
    assert (
        "Cost prices (hidden)"
        in owner_client.get(reverse("catalogue:import_columns", args=[draft.pk])).content.decode()
    )
    save(owner_client, draft)
    assert [part.name for part in Part.objects.all()] == ["Radiator A"]


TEXT = "Name;Kind;Supplier;Price\nLüfter 120 × 25, „leise“;Lüfter;Händler Süd;17,35 €\n"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_every_usual_encoding_goes_in_with_its_letters_whole(owner_client, encoding):
    draft, page = looked_through(owner_client, TEXT.encode(encoding), "list.csv")
    assert "No problems" in page
    save(owner_client, draft)
    price = SupplierPrice.objects.get()
    assert (price.part.name, price.part.kind) == ("Lüfter 120 × 25, „leise“", "fan")
    assert (price.supplier.name, str(price.price), price.supplier.currency) == ("Händler Süd", "17.3500", "EUR")


def test_utf8_that_went_through_a_western_program_is_set_right(owner_client):
    draft, _page = looked_through(owner_client, TEXT.encode().decode("cp1252").encode(), "list.csv")
    save(owner_client, draft)
    assert Part.objects.get().name == "Lüfter 120 × 25, „leise“"


def test_a_hundred_thousand_rows_of_text(owner_client):
    data = ("Name;Kind\n" + "".join(f"Fan {n};fan\n" for n in range(100_000))).encode()
    start = time.process_time()
    said = refused(owner_client, data, "list.csv")
    assert "100001 rows; at most 5000 are taken at once. Send it in pieces" in said
    assert time.process_time() - start < 3


def test_a_hundred_thousand_rows_of_a_workbook(owner_client):
    book = Workbook(write_only=True)
    sheet = book.create_sheet("Parts")
    for n in range(100_000):
        sheet.append([f"Fan {n}", "fan"])
    data, start = written(book), time.process_time()
    assert "over 5000 rows; at most 5000 are taken at once. Send it in pieces" in refused(
        owner_client, data, "list.xlsx"
    )
    assert time.process_time() - start < 10


def test_a_bomb_of_a_workbook(owner_client):
    bomb = with_member(written(workbook(GOOD)), "xl/worksheets/sheet1.xml", b" " * (200 * 2**20))
    assert len(bomb) < 2**20
    start = time.process_time()
    assert "unpacks to far more than a parts list does" in refused(owner_client, bomb, "list.xlsx")
    assert time.process_time() - start < 2


def test_a_bomb_within_a_bomb_is_no_workbook(owner_client):
    inner, outer = io.BytesIO(), io.BytesIO()
    with zipfile.ZipFile(inner, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("zeros", b"\0" * (50 * 2**20))
    with zipfile.ZipFile(outer, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("inner.zip", inner.getvalue())
    assert "not an XLSX workbook" in refused(owner_client, outer.getvalue(), "list.xlsx")


@pytest.mark.parametrize("typed", ["45 W", "45 kg", "45 °C", "45 parsecs", "thick"])
def test_a_unit_that_does_not_fit_is_told_at_its_cell(owner_client, typed):
    draft, page = looked_through(owner_client, written(workbook(GOOD, ["B", "radiator", "Tidewater", 9, typed])))
    assert "row 3, column E: thickness" in page
    assert typed in page
    assert nothing_is_saved(owner_client, draft)


def test_a_core_deeper_than_its_radiator_is_told_at_its_cell(owner_client):
    draft, page = looked_through(
        owner_client, written(workbook(GOOD, ["B", "radiator", "Tidewater", 9, "30 mm", "45 mm"]))
    )
    assert "row 3, column F: depth of the finned core" in page
    assert "45 mm" in page
    assert nothing_is_saved(owner_client, draft)


def test_a_core_deeper_than_the_radiator_that_is_here(owner_client):
    PartFactory(kind="radiator", name="B", facts={"thickness": 30.0})
    draft, page = looked_through(owner_client, written(workbook(GOOD, ["B", "radiator", "Tidewater", 9, "", "45 mm"])))
    assert "row 3, column F: depth of the finned core" in page
    assert nothing_is_saved(owner_client, draft, before=(1, 1, 0, 0))


def test_one_wrong_row_of_many_keeps_all_out_until_it_is_left_out(owner_client):
    rows = [[f"Radiator {n}", "radiator", "Tidewater", 9, "45 mm", "30 mm"] for n in range(899)]
    rows.insert(500, ["Odd", "radiator", "Tidewater", 9, "45 mm", "50 mm"])
    draft, _page = looked_through(owner_client, written(workbook(*rows)))
    assert nothing_is_saved(owner_client, draft)
    correct(owner_client, draft, out_501="on")
    save(owner_client, draft)
    assert held() == (899, 1798, 899, 1)


def test_text_like_a_formula_comes_in_as_text_and_goes_out_harmless(owner_client):
    book = workbook(["'=cmd|' /C calc'!A0", "radiator", "+Plus", 9, "45 mm", "30 mm"])
    book.active["A2"].data_type = "s"
    draft, page = looked_through(owner_client, written(book))
    assert "No problems" in page
    save(owner_client, draft)
    assert Part.objects.get().name == "=cmd|' /C calc'!A0"
    for form in ("csv", "xlsx"):
        data = owner_client.get(reverse("catalogue:export", args=[form])).content
        if form == "xlsx":
            cells = [cell for row in load_workbook(io.BytesIO(data)).active.iter_rows() for cell in row]
            assert {cell.data_type for cell in cells if cell.value} == {"s"}
            values = [cell.value for cell in cells if cell.value]
        else:
            values = [cell for line in data.decode("utf-8-sig").splitlines() for cell in line.split(";")]
        assert "'=cmd|' /C calc'!A0" in values
        assert not [value for value in values if value[:1] in tuple("=+-@")]
