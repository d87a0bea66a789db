"""Files as people send them, read into rows; no database."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.catalogue.listing import ListError, read_list

LIST = "Name;Kind;Price\nLüfter 120 mm;fan;12,50\nRadiator ⅜″;radiator;74,20\n"
ROWS = [["Name", "Kind", "Price"], ["Lüfter 120 mm", "fan", "12,50"], ["Radiator ⅜″", "radiator", "74,20"]]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
def test_any_encoding_a_spreadsheet_writes(encoding):
    assert read_list(LIST.encode(encoding)).rows == ROWS


def test_the_old_western_encoding():
    text = LIST.replace("⅜″", "3/8").replace("Price", "Price €")
    sheet = read_list(text.encode("cp1252"))
    assert sheet.encoding == "cp1252"
    assert sheet.rows[0][2] == "Price €"
    assert sheet.rows[1][0] == "Lüfter 120 mm"


def test_a_guessed_encoding_is_said():
    assert "read as western ones (Windows-1252)" in read_list("Teil;Preis\nLüfter;1\n".encode("cp1252")).notes[0]
    assert read_list("Teil;Preis\nLüfter;1\n".encode()).notes == []


def test_letters_that_another_program_tangled_are_set_right():
    tangled = "Name;Kind\nLüfter 3×120 – leise;fan\n".encode().decode("cp1252").encode()
    assert read_list(tangled).rows[1][0] == "Lüfter 3×120 – leise"
    honest = "Name;Kind\nÂme, 12 â;fan\n"
    assert read_list(honest.encode()).rows[1][0] == "Âme, 12 â"


@pytest.mark.parametrize("mark", [";", ",", "\t", "|"])
def test_any_mark_between_cells(mark):
    text = LIST.replace(",", ".").replace(";", mark)
    sheet = read_list(text.encode())
    assert sheet.delimiter == mark
    assert [len(row) for row in sheet.rows] == [3, 3, 3]


def test_a_decimal_comma_is_not_taken_for_a_mark_between_cells():
    rows = "".join(f"Part {n};{n},50;{n}\n" for n in range(20))
    assert read_list(rows.encode()).delimiter == ";"


def test_the_first_line_some_spreadsheets_write():
    sheet = read_list(b"sep=|\nName|Kind\nFan|fan\n")
    assert sheet.rows[1:] == [["Name", "Kind"], ["Fan", "fan"]]


def test_quoted_cells_keep_marks_and_line_breaks():
    sheet = read_list(b'Name,Kind\n"Fan, slow\nand quiet",fan\n')
    assert sheet.rows[1] == ["Fan, slow and quiet", "fan"]


def test_blank_rows_are_kept_so_that_row_numbers_agree_with_the_file():
    sheet = read_list(b"Name;Kind\n\nFan;fan\n;\n\n\n")
    assert sheet.rows == [["Name", "Kind"], ["", ""], ["Fan", "fan"]]


def test_ragged_rows_are_filled_up():
    assert read_list(b"Name;Kind;Remark\nFan;fan\n").rows[1] == ["Fan", "fan", ""]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "nothing in this file"),
        (b" \n;;\n", "nothing in this file"),
        (b"PK\x03\x04rest of a spreadsheet", "XLSX"),
        (b"%PDF-1.7\n", "PDF"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "XLS"),
        (b"\x89PNG\r\n\x1a\n", "PNG"),
        (bytes(range(256)) * 40, "not a text file|cannot be read"),
        (b"name;kind\n" + b"\x01\x02\x03" * 900, "not a text file"),
        (b"<!DOCTYPE html><html>", "web page"),
        (b"name;kind\n" * 5001, "5001 rows; at most 5000"),
        (b";".join([b"x"] * 201), "201 columns; at most 200"),
        (b"name;kind\n" + b"x" * 2001 + b";fan\n", "row 2 holds over 2000"),
        (b'name;kind\n"never closed;fan\n' + b"fan;fan\n" * 40, "lone quotation mark"),
        (b'name;kind\n"' + b"x" * 200000, "lone quotation mark"),
    ],
)
def test_what_is_no_list_is_refused_with_what_to_send(data, said):
    with pytest.raises(ListError) as refusal:
        read_list(data)
    assert any(words in str(refusal.value) for words in said.split("|")), refusal.value


@given(st.binary(max_size=600))
def test_no_bytes_break_the_reader(data):
    try:
        sheet = read_list(data)
    except ListError:
        return
    assert len({len(row) for row in sheet.rows}) == 1
    assert not any("\x00" in cell for row in sheet.rows for cell in row)


@given(st.lists(st.lists(st.text("abcdü €12.,;\"' ", max_size=8), min_size=3, max_size=3), min_size=2, max_size=8))
def test_what_a_spreadsheet_writes_reads_back(cells):
    import csv
    import io

    out = io.StringIO()
    csv.writer(out, delimiter="\t", quoting=csv.QUOTE_ALL).writerows([["Name", "Kind", "Price"], *cells])
    rows = [[" ".join(cell.split()) for cell in row] for row in cells]
    while rows and not any(rows[-1]):
        rows.pop()
    assert read_list(out.getvalue().encode()).rows[1:] == rows
