"""A parts list as somebody keeps it: the bytes of a file read into rows of text. No database here."""

import csv
import io
import re
from dataclasses import dataclass, field

from django.utils.translation import gettext as _

from parts.workshop.tables import plain_text

from .headers import header_hits

MOST_BYTES = 5 * 1024 * 1024
MOST_ROWS = 5000
MOST_COLUMNS = 200
MOST_IN_A_CELL = 2000
DELIMITERS = ";,\t|"
# The first bytes of what people send by mistake.
_MAGIC = {
    b"PK\x03\x04": "XLSX, ODS", b"\xd0\xcf\x11\xe0": "XLS", b"%PDF": "PDF", b"\x89PNG": "PNG", b"\xff\xd8\xff": "JPEG",
    b"GIF8": "GIF", b"\x1f\x8b": "GZIP", b"Rar!": "RAR", b"7z\xbc\xaf": "7Z", b"{\\rtf": "RTF",
}  # fmt: skip
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


class ListError(ValueError):
    """The file cannot be read as a list; `str()` says what to send instead."""


@dataclass(frozen=True)
class Sheet:
    """What was read: rows of equal width, cells stripped, blank rows kept so that numbers agree with the file.

    name, hidden: of a workbook's sheet. doubts: {"row:column": why that cell cannot be trusted}. notes: what the
    reader did that the person should know. links: {"row:column": web address that stands behind that cell}.
    """

    rows: list[list[str]]
    encoding: str = ""
    delimiter: str = ""
    name: str = ""
    hidden: bool = False
    doubts: dict[str, str] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    links: dict[str, str] = field(default_factory=dict)


def read_list(data):
    """The rows of a CSV file in any usual encoding and with any usual mark between cells. Raises ListError."""
    text, encoding = decoded(data)
    hint = re.match(r"sep=(.)\r?\n", text, re.IGNORECASE)  # some spreadsheets write their mark in a first line
    if hint:
        text = "\n" + text[hint.end() :]
    delimiter = hint[1] if hint else find_delimiter(text)
    rows = [[_tidy(cell) for cell in row] for row in _parse(text, delimiter)]
    if not any(any(row) for row in rows):
        raise ListError(_("There is nothing in this file. Send a CSV file with one part a line."))
    return Sheet(even_rows(rows), encoding, delimiter, notes=_notes(encoding))


def _notes(encoding):
    """What the person should know of how the letters were read: the old western encoding is a guess."""
    if encoding != "cp1252":
        return []
    return [
        _("This file is not in UTF-8; its letters were read as western ones (Windows-1252). Where they look wrong, "
          "save it as CSV in UTF-8 and send it again.")
    ]  # fmt: skip


def even_rows(rows):
    """Rows without the blank ones at the end, all as wide as the widest. Raises ListError past what is taken."""
    while rows and not any(rows[-1]):
        rows.pop()
    _check_size(rows)
    width = max(map(len, rows), default=0)
    return [row + [""] * (width - len(row)) for row in rows]


def decoded(data):
    """(text, encoding) of a file's bytes. Raises ListError for what is no text."""
    for magic, name in _MAGIC.items():
        if data.startswith(magic):
            raise ListError(
                _("This is not a CSV file but %(kind)s. Open it in its program, save the sheet as CSV, and send that.")
                % {"kind": name}
            )
    encoding = _encoding(data)
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError:
        raise ListError(
            _("The letters in this file cannot be read. Save it as CSV in UTF-8 and send it again.")
        ) from None
    strange = len(_CONTROL.findall(text[:20000]))
    if "\x00" in text or strange > len(text[:20000]) / 100:
        raise ListError(_("This is not a text file. Save your list as CSV and send that."))
    if re.match(r"\s*<(!doctype|html|\?xml)", text, re.IGNORECASE):
        raise ListError(_("This is a web page, not a CSV file. Save your list as CSV and send that."))
    return _untangled(_CONTROL.sub("", text).replace("\ufeff", "")), encoding


def _untangled(text):
    """UTF-8 that some program took for the old western encoding and wrote out again: LÃ¼fter is Lüfter."""
    if not re.search("[ÂÃâ]", text):
        return text
    try:
        return text.encode("cp1252").decode("utf-8")
    except UnicodeError:
        return text


def _encoding(data):
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    head = data[:4000]
    if head[1::2].count(0) > len(head) / 5:
        return "utf-16-le"
    if head[::2].count(0) > len(head) / 5:
        return "utf-16-be"
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"


def find_delimiter(text, hits=header_hits):
    """The mark that gives the most even table, best of all one whose first rows hold known column names.

    hits: how many known names a row holds.
    """
    head = "\n".join(line for line in text.splitlines()[:80] if line.strip())

    def even(mark):
        widths = [len(row) for row in _parse(head, mark) if any(row)]
        usual = max(set(widths), key=lambda width: (widths.count(width), width), default=1)
        if usual < 2:
            return 0.0, 0
        rows = list(_parse(head, mark))[:10]
        return widths.count(usual) / len(widths) * (1 + max(map(hits, rows), default=0)), usual

    return max(DELIMITERS, key=even)


def _parse(text, delimiter):
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        for row in reader:
            if len(row) == 1 and row[0].count("\n") > 20:
                raise csv.Error
            yield row
    except csv.Error:
        raise ListError(
            _("A cell that begins near line %(line)d does not end. Look there for a lone quotation mark.")
            % {"line": max(1, reader.line_num - 20)}
        ) from None


def _tidy(cell):
    return plain_text(" ".join(cell.split()))


def column_letters(column):
    """A column, counted from 0, as every spreadsheet names it.

    >>> column_letters(0), column_letters(27)
    ('A', 'AB')
    """
    letters = ""
    while column >= 0:
        column, letter = divmod(column, 26)
        letters, column = chr(ord("A") + letter) + letters, column - 1
    return letters


def _check_size(rows):
    filled = sum(1 for row in rows if any(row))
    if filled > MOST_ROWS:
        raise ListError(
            _("The list has %(rows)d rows; at most %(most)d are taken at once. Send it in pieces.")
            % {"rows": filled, "most": MOST_ROWS}
        )
    for number, row in enumerate(rows, 1):
        if len(row) > MOST_COLUMNS:
            raise ListError(
                _("Row %(row)d has %(columns)d columns; at most %(most)d are taken.")
                % {"row": number, "columns": len(row), "most": MOST_COLUMNS}
            )
        if any(len(cell) > MOST_IN_A_CELL for cell in row):
            raise ListError(
                _("A cell in row %(row)d holds over %(most)d characters. Look there for a lone quotation mark.")
                % {"row": number, "most": MOST_IN_A_CELL}
            )
