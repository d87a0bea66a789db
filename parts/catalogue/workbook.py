"""A workbook (XLSX) as somebody keeps it: its sheets read into rows of text. Nothing in it is run or followed."""

import io
import re
import warnings
import zipfile
from datetime import date, datetime
from functools import lru_cache

from django.utils.translation import gettext as _

from parts.workshop.tables import plain_text

from .listing import MOST_COLUMNS, MOST_ROWS, ListError, Sheet, column_letters, even_rows
from .workbook_marks import Marks, read_marks

# What the file may unpack to: the largest list that is taken stays far below, a bomb does not.
MOST_EXPANDED = 48 * 1024 * 1024
MOST_RATIO = 250  # of one member; text deflates 5 to 50 times
MOST_MEMBERS = 2000
MOST_SHEETS = 20
MOST_CELLS = 400_000  # in all sheets together


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
    if len(book.worksheets) > MOST_SHEETS:
        faults.append(_("Only the first %(most)d sheets were read.") % {"most": MOST_SHEETS})
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
    marks = read_marks(archive, sheet._worksheet_path) if rows else Marks()
    notes = _take_marks(rows, marks, doubts)
    return Sheet(
        rows, name=sheet.title, hidden=sheet.sheet_state != "visible", doubts=doubts, notes=notes,
        links={f"{row}:{column}": address for (row, column), address in marks.links.items()},
    )  # fmt: skip


def _take_marks(rows, marks, doubts):
    """Put what stands beside the cells where it belongs; the notes on it."""
    height, width = len(rows), len(rows[0]) if rows else 0
    for row, column in marks.unreckoned:
        if row < height and column < width:
            doubts[f"{row}:{column}"] = _(
                "A formula whose result the file does not hold. Type the value, or save the workbook once in its "
                "spreadsheet program and send it again."
            )
    for (row, column), text in marks.shown.items():
        if row < height and column < width:
            rows[row][column] = plain_text(" ".join(text.split()))
    merged = _spread_merged(rows, marks, doubts)
    marks.links = {(row, column): to for (row, column), to in marks.links.items() if row < height and column < width}
    hidden = [str(row + 1) for row in marks.hidden if row < height and any(rows[row])]
    notes = [
        (merged, _("Merged cells: words hold for each of their rows, numbers are asked for (%(where)s).")),
        (hidden, _("Rows that the spreadsheet hides are read like the others; leave out what is old (%(where)s).")),
        ([_place(*place) for place in marks.too_long], _("These cells' links are too long to keep (%(where)s).")),
    ]
    return [said % {"where": ", ".join(where[:8]) + (" …" if len(where) > 8 else "")} for where, said in notes if where]


def _place(row, column):
    """A place as a spreadsheet names it: B3."""
    return f"{column_letters(column)}{row + 1}"


def _spread_merged(rows, marks, doubts):
    """Give each row of a merged cell its text and link; a number is asked for, for it may mean each or all.

    [the cells as a spreadsheet names them].
    """
    spread = []
    for top, left, bottom, _right in marks.merged:
        below = range(top + 1, min(bottom + 1, len(rows)))
        if not below or left >= len(rows[0]) or not rows[top][left]:
            continue
        said, link = rows[top][left], marks.links.get((top, left))
        spread.append(f"{_place(top, left)}:{_place(below[-1], left)}")
        for row in below:
            if any(character.isalpha() for character in said):
                rows[row][left] = said
                if link:
                    marks.links[row, left] = link
            else:
                doubts[f"{row}:{left}"] = _(
                    "Merged with row %(row)d, which says %(said)s. Type what holds for this row."
                ) % {"row": top + 1, "said": said[:40]}
    return spread


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
