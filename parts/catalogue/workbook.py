"""A workbook (XLSX) as somebody keeps it: its sheets read into rows of text. Nothing in it is run or followed."""

import io
import re
import warnings
import zipfile
from datetime import date, datetime
from functools import lru_cache

from django.utils.translation import gettext as _

from .listing import MOST_COLUMNS, MOST_ROWS, ListError, Sheet, even_rows, plain_text

# What the file may unpack to: the largest list that is taken stays far below, a bomb does not.
MOST_EXPANDED = 48 * 1024 * 1024
MOST_RATIO = 250  # of one member; text deflates 5 to 50 times
MOST_MEMBERS = 2000
MOST_SHEETS = 20
MOST_CELLS = 400_000  # in all sheets together
MOST_MERGED = 2000


def read_workbook(data):
    """The sheets that hold something: [Sheet], visible ones first, each in the workbook's order. Raises ListError."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            _check_archive(archive)
            sheets = _read_sheets(data, archive)
    except ListError:
        raise
    except Exception:  # a stranger's file may break its reader in any way; what it says helps nobody
        raise ListError(
            _("This workbook cannot be opened; it may be damaged. Open it in its program, save it anew as XLSX or CSV.")
        ) from None
    return sorted(sheets, key=lambda sheet: sheet.hidden)


def _check_archive(archive):
    members = archive.infolist()
    names = {member.filename for member in members}
    if any(name.endswith("vbaProject.bin") for name in names):
        raise ListError(
            _("This workbook holds macros, which are not taken. Save it as XLSX without macros, or as CSV.")
        )
    if not any(name.endswith("workbook.xml") for name in names):
        raise ListError(_("This is not an XLSX workbook. Save your list as XLSX or CSV, and send that."))
    read = [member for member in members if member.filename.endswith((".xml", ".rels"))]
    bomb = any(m.file_size > 2**20 and m.file_size > MOST_RATIO * max(1, m.compress_size) for m in read)
    if bomb or len(members) > MOST_MEMBERS:
        raise ListError(
            _("This workbook unpacks to far more than a parts list does. Save the one sheet you need as CSV.")
        )
    if sum(member.file_size for member in read) > MOST_EXPANDED:
        raise ListError(
            _("This workbook is far too long: at most %(most)d rows are taken at once. Send it in pieces.")
            % {"most": MOST_ROWS}
        )
    for member in read:
        if _declares_entities(archive.read(member)):
            raise ListError(_("This workbook holds what no spreadsheet program writes. Save your list as CSV."))


def _declares_entities(raw):
    """Entities can grow without end; whichever XML parser is installed, no workbook needs them."""
    return any("<!ENTITY".encode(encoding) in raw for encoding in ("utf-8", "utf-16-le", "utf-16-be"))


def _read_sheets(data, archive):
    from openpyxl import load_workbook

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it remarks on styles and extensions that a list has no use for
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
    found, faults = [], []
    for sheet in book.worksheets[:MOST_SHEETS]:
        try:
            found.append(_read_sheet(sheet, archive))
        except ListError as error:
            faults.append(_("Sheet “%(name)s” was not read: %(fault)s") % {"name": sheet.title, "fault": error})
    found = [sheet for sheet in found if sheet.rows]
    if not found:
        raise ListError(faults[0] if faults else _("There is nothing in this workbook. Put one part a line."))
    if sum(len(sheet.rows) * len(sheet.rows[0]) for sheet in found) > MOST_CELLS:
        raise ListError(_("The sheets of this workbook hold too much together. Save the one you need as CSV."))
    for sheet in found:
        sheet.notes.extend(faults)
    return found


def _read_sheet(sheet, archive):
    sheet.reset_dimensions()  # what a file says of its own size is often wrong
    rows, doubts, filled = [], {}, 0
    for cells in sheet.iter_rows():
        row = [_text(cell) for cell in cells]
        while row and not row[-1]:
            row.pop()
        filled += bool(row)
        if filled > MOST_ROWS or len(rows) > 20 * MOST_ROWS:
            raise ListError(
                _("It has over %(most)d rows; at most %(most)d are taken at once. Send it in pieces.")
                % {"most": MOST_ROWS}
            )
        if len(row) > MOST_COLUMNS:
            raise ListError(
                _("Row %(row)d has %(columns)d columns; at most %(most)d are taken.")
                % {"row": len(rows) + 1, "columns": len(row), "most": MOST_COLUMNS}
            )
        for column, cell in enumerate(cells[: len(row)]):
            if cell.data_type == "e":
                doubts[f"{len(rows)}:{column}"] = _("The spreadsheet shows an error here. Type what belongs here.")
        rows.append(row)
    rows = even_rows(rows)
    merged, unreckoned = _marks(archive, sheet._worksheet_path) if rows else ((), ())
    for row, column in unreckoned:
        if row < len(rows) and column < len(rows[0]):
            doubts[f"{row}:{column}"] = _(
                "A formula whose result the file does not hold. Type the value, or save the workbook once in its "
                "spreadsheet program and send it again."
            )
    notes = _spread_merged(rows, merged, doubts)
    return Sheet(rows, name=sheet.title, hidden=sheet.sheet_state != "visible", doubts=doubts, notes=notes)


def _spread_merged(rows, merged, doubts):
    """Give each row of a merged cell its text; a number is asked for, for it may mean each or all. The notes on it."""
    from openpyxl.utils import get_column_letter

    spread = []
    for top, left, bottom, _right in merged:
        below = range(top + 1, min(bottom + 1, len(rows)))
        if not below or left >= len(rows[0]) or not rows[top][left]:
            continue
        said = rows[top][left]
        letter = get_column_letter(left + 1)
        spread.append(f"{letter}{top + 1}:{letter}{below[-1] + 1}")
        for row in below:
            if any(character.isalpha() for character in said):
                rows[row][left] = said
            else:
                doubts[f"{row}:{left}"] = _(
                    "Merged with row %(row)d, which says %(said)s. Type what holds for this row."
                ) % {"row": top + 1, "said": said[:40]}
    if not spread:
        return []
    cells = ", ".join(spread[:8]) + (" …" if len(spread) > 8 else "")
    return [_("Merged cells: words hold for each of their rows, numbers are asked for (%(cells)s).") % {"cells": cells}]


def _marks(archive, member):
    """([(top, left, bottom, right)] of merged cells, [(row, column)] of formulas without a result), from 0.

    The reader that goes through a sheet row by row tells neither.
    """
    from defusedxml.ElementTree import iterparse
    from openpyxl.utils import coordinate_to_tuple, range_boundaries

    raw, merged, unreckoned = archive.read(member.lstrip("/")), [], []
    if b"mergeCell" not in raw and b"<f" not in raw and b":f" not in raw:
        return sorted(merged), unreckoned
    for _event, element in iterparse(io.BytesIO(raw)):
        tag = element.tag.rpartition("}")[2]
        if tag == "c":
            parts = {child.tag.rpartition("}")[2]: child.text for child in element}
            if "f" in parts and not parts.get("v") and element.get("t") != "str":
                row, column = coordinate_to_tuple(element.get("r", "A1"))
                unreckoned.append((row - 1, column - 1))
        elif tag == "mergeCell":
            left, top, right, bottom = range_boundaries(element.get("ref"))
            merged.append((top - 1, left - 1, bottom - 1, right - 1))
        elif tag == "row":
            element.clear()
    if len(merged) > MOST_MERGED:
        raise ListError(_("It has over %(most)d merged cells. Unmerge them and send it again.") % {"most": MOST_MERGED})
    return sorted(merged), unreckoned


def _text(cell):
    """What a cell says, as its format shows it to a person: 30 % for 0.3, 45 mm where the format adds the unit."""
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, int | float):
        scale, behind = _format(str(cell.number_format))
        return f"{_number(value * scale)} {behind}".strip()
    if isinstance(value, datetime | date):
        return value.strftime("%Y-%m-%d")
    return plain_text(" ".join(str(value).split()))


def _number(value):
    """A number that no comma or point convention reads otherwise: never a mark before exactly three digits.

    >>> _number(12.0), _number(74.2), _number(1.234), _number(0.1 + 0.2)
    ('12', '74.2', '1.2340', '0.3')
    """
    text = f"{value:.12g}"
    return f"{text}0" if re.fullmatch(r"-?\d+\.\d{3}", text) else text


@lru_cache(maxsize=200)
def _format(code):
    """(what the shown number is multiplied by, the words or the currency its format adds).

    >>> _format("0.0%"), _format('0" mm"'), _format("#,##0.00 [$€-407]"), _format("General")
    ((100, '%'), (1, 'mm'), (1, '€'), (1, ''))
    """
    first = code.split(";")[0]
    currency = re.search(r"\[\$([^\]-]+)", first) or re.search(r"([€£¥])", first)
    quoted = " ".join(re.findall(r'"([^"]*)"', first)).strip()
    bare = re.sub(r'"[^"]*"|\[[^\]]*\]', "", first)
    if "%" in bare:
        return 100, "%"
    return 1, currency[1] if currency else quoted
