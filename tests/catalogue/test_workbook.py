"""Workbooks as people send them; each made here with a general-purpose library, then spoilt where that is the point."""

import io
import zipfile

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from parts.catalogue.files import read_file
from parts.catalogue.listing import ListError
from parts.catalogue.workbook import MOST_EXPANDED

HEADINGS = ["Name", "Kind", "Price", "Thickness"]


def written(book):
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def workbook(*rows, title="Parts"):
    book = Workbook()
    book.active.title = title
    for row in (HEADINGS, *rows):
        book.active.append(row)
    return book


def with_member(data, name, content):
    """The same archive with one member added or replaced."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for member in old.namelist():
            if member != name:
                new.writestr(member, old.read(member))
        new.writestr(name, content)
    return out.getvalue()


def refusal(data):
    with pytest.raises(ListError) as told:
        read_file(data)
    return str(told.value)


def test_a_sheet_is_read_as_its_person_sees_it():
    book = workbook(["Radiator 3×120", "radiator", 74.2, 30], ["Fan", "fan", 17.345, 25])
    sheet = book.active
    sheet["C2"].number_format = "#,##0.00 [$€-407]"
    sheet["D2"].number_format = '0" mm"'
    sheet["D3"] = 0.3
    sheet["D3"].number_format = "0%"
    [read] = read_file(written(book))
    assert read.rows[1] == ["Radiator 3×120", "radiator", "74.2 €", "30 mm"]
    # 17.345 would be refused as "17345 or 17.345"; a fourth place says which.
    assert read.rows[2] == ["Fan", "fan", "17.3450", "30 %"]


def test_row_numbers_agree_with_the_file():
    book = workbook()
    book.active["A5"] = "Fan"
    [read] = read_file(written(book))
    assert [any(row) for row in read.rows] == [True, False, False, False, True]


def test_a_formula_counts_by_its_kept_result_and_asks_where_there_is_none():
    book = workbook(["Fan", "fan", "=2*8.5", 25])
    data = written(book)
    [read] = read_file(data)
    assert read.rows[1][2] == ""
    assert "does not hold" in read.doubts["1:2"]
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        xml = archive.read("xl/worksheets/sheet1.xml").decode()
    assert "<f>2*8.5</f><v" in xml.replace("<v />", "<v/>")
    kept = xml.replace("<v />", "<v>17</v>").replace("<v></v>", "<v>17</v>").replace("<v/>", "<v>17</v>")
    [read] = read_file(with_member(data, "xl/worksheets/sheet1.xml", kept))
    assert read.rows[1][2] == "17"
    assert read.doubts == {}


def test_an_error_of_the_spreadsheet_is_told_at_its_cell():
    book = workbook(["Fan", "fan", "#REF!", 25])
    book.active["C2"].data_type = "e"
    [read] = read_file(written(book))
    assert "error" in read.doubts["1:2"]


def test_merged_words_hold_for_each_row_and_merged_numbers_are_asked_for():
    book = workbook(["Slim", "radiator", 70, 28], ["Thick", None, None, 45], ["Fan", "fan", 17, 25])
    book.active.merge_cells("B2:B3")
    book.active.merge_cells("C2:C3")
    [read] = read_file(written(book))
    assert [row[1] for row in read.rows] == ["Kind", "radiator", "radiator", "fan"]
    assert list(read.doubts) == ["2:2"]
    assert "Merged with row 2, which says 70" in read.doubts["2:2"]
    assert "B2:B3" in read.notes[0]


def test_hidden_sheets_come_last_and_are_named_so():
    book = workbook(["Fan", "fan", 17, 25], title="Old")
    book.active.sheet_state = "hidden"
    book.create_sheet("Now").append(HEADINGS)
    book.create_sheet("Empty")
    assert [(sheet.name, sheet.hidden) for sheet in read_file(written(book))] == [("Now", False), ("Old", True)]


def test_a_sheet_too_long_does_not_take_the_others_with_it():
    book = workbook(["Fan", "fan", 17, 25])
    log = book.create_sheet("Log")
    for n in range(5001):
        log.append([n])
    [read] = read_file(written(book))
    assert "Sheet “Log” was not read: It has over 5000 rows" in read.notes[0]


def test_a_hundred_thousand_rows_are_refused():
    book = Workbook(write_only=True)
    sheet = book.create_sheet("Parts")
    for n in range(100_000):
        sheet.append([n])
    assert "over 5000 rows" in refusal(written(book))


def test_a_cell_far_away_is_refused_not_filled_up_to():
    book = workbook()
    book.active["XFD2"] = "x"
    assert "Row 2 has 16384 columns" in refusal(written(book))
    book = workbook()
    book.active["A1048576"] = "x"
    assert "rows" in refusal(written(book))


def test_macros_are_refused_plainly():
    data = with_member(written(workbook()), "xl/vbaProject.bin", b"macro")
    assert "holds macros" in refusal(data)


def test_bombs_are_not_unpacked():
    data = written(workbook())
    assert "unpacks to far more" in refusal(with_member(data, "xl/worksheets/sheet1.xml", b" " * (2 * MOST_EXPANDED)))
    many = data
    out = io.BytesIO(many)
    with zipfile.ZipFile(out, "a") as archive:
        for n in range(2001):
            archive.writestr(f"xl/media/{n}.txt", b"")
    assert "unpacks to far more" in refusal(out.getvalue())


def test_entities_that_grow_are_refused():
    laughs = '<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;">]><workbook>&b;</workbook>'
    for encoding in ("utf-8", "utf-16"):
        data = with_member(written(workbook()), "xl/workbook.xml", laughs.encode(encoding))
        assert "no spreadsheet program writes" in refusal(data)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"PK\x03\x04rest of a spreadsheet", "cannot be opened"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "XLS"),
    ],
)
def test_what_is_no_workbook_is_refused(data, said):
    assert said in refusal(data)


def test_another_programs_archive_is_refused():
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("content.xml", "<x/>")
    assert "not an XLSX workbook" in refusal(out.getvalue())


def test_an_empty_workbook_is_refused():
    assert "nothing in this workbook" in refusal(written(Workbook()))


WHOLE = written(workbook(["Fan", "fan", 17, 25]))


@settings(max_examples=60, deadline=None)
@given(st.integers(30, len(WHOLE) - 1), st.binary(min_size=1, max_size=8))
def test_no_spoilt_byte_breaks_the_reader(at, bytes_):
    spoilt = WHOLE[:at] + bytes_ + WHOLE[at + len(bytes_) :]
    try:
        sheets = read_file(spoilt)
    except ListError:
        return
    assert all(len({len(row) for row in sheet.rows}) == 1 for sheet in sheets)


def linked(**links):
    """A workbook whose cells have links behind them: linked(A2="https://…")."""
    book = workbook(["Fan 120", "fan", 17, 25], ["Fan 140", "fan", 19, 25])
    for place, address in links.items():
        book.active[place].hyperlink = address
    return written(book)


def test_links_behind_cells_are_found():
    [read] = read_file(linked(A2="https://tide.example/fan-120", C3="http://tide.example/a?b=1#c"))
    assert read.links == {"1:0": "https://tide.example/fan-120", "2:2": "http://tide.example/a?b=1#c"}


def test_only_links_to_web_pages_count():
    [read] = read_file(linked(A2="mailto:sales@tide.example", A3="javascript:alert(1)", B2="file:///etc/x"))
    assert read.links == {}


def test_a_link_to_another_sheet_is_none():
    book = workbook(["Fan 120", "fan", 17, 25])
    book.active["A2"].hyperlink = "#Parts!A1"
    [read] = read_file(written(book))
    assert read.links == {}


def test_a_link_written_as_a_formula_is_read_from_its_words():
    book = workbook(["x", "fan", 17, 25], ["x", "fan", 19, 25])
    book.active["A2"] = '=HYPERLINK("https://tide.example/1", "Fan 120")'
    book.active["A3"] = '=HYPERLINK("https://tide.example/"&B3, "Fan 140")'
    [read] = read_file(written(book))
    assert read.rows[1][0] == "Fan 120"
    assert read.links == {"1:0": "https://tide.example/1"}
    assert list(read.doubts) == ["2:0"]  # what would have to be reckoned is asked for


def test_a_link_too_long_to_keep_is_told():
    [read] = read_file(linked(A3="https://tide.example/" + "x" * 300))
    assert read.links == {}
    assert "too long to keep (A3)" in read.notes[0]


def test_a_merged_cells_link_holds_for_each_of_its_rows():
    book = workbook(["Fan 120", "fan", 17, 25], [None, "fan", 19, 25])
    book.active["A2"].hyperlink = "https://tide.example/fans"
    book.active.merge_cells("A2:A3")
    [read] = read_file(written(book))
    assert read.links == {"1:0": "https://tide.example/fans", "2:0": "https://tide.example/fans"}


def test_hidden_rows_are_read_and_said():
    book = workbook(["Fan", "fan", 17, 25], ["Old fan", "fan", 12, 25])
    book.active.row_dimensions[3].hidden = True
    [read] = read_file(written(book))
    assert read.rows[2][0] == "Old fan"
    assert "hides are read like the others; leave out what is old (3)" in read.notes[0]


def test_a_workbook_of_very_many_sheets_says_which_were_read():
    book = workbook(["Fan", "fan", 17, 25])
    for n in range(25):
        book.create_sheet(f"S{n}").append(["x"])
    sheets = read_file(written(book))
    assert len(sheets) == 20
    assert all("Only the first 20 sheets were read" in sheet.notes[0] for sheet in sheets)
