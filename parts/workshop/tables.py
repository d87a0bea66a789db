"""Rows as a file for a spreadsheet, CSV or workbook. Texts that come from people go through safe_text first."""

import csv
import io
import re
from datetime import date
from decimal import Decimal

from django.http import Http404, HttpResponse

MEDIA = {"csv": "text/csv; charset=utf-8", "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"}
WIDE = 40  # of a column of names, in characters


def safe_text(text):
    """A text that no spreadsheet takes for a formula: an apostrophe goes before the mark one would begin with.

    >>> safe_text("=1+1"), safe_text("'=1"), safe_text("45 mm"), plain_text(safe_text("'=1"))
    ("'=1+1", "''=1", '45 mm', "'=1")
    """
    return f"'{text}" if re.match(r"'*[=+\-@\t\r]", text) else text


def plain_text(cell):
    """What `safe_text` was given."""
    return cell[1:] if re.match(r"'+[=+\-@\t\r]", cell) else cell


def as_file(form, rows, name, title, name_column=1):
    """The response that hands rows out as a file called `name`, in a form of MEDIA; any other is not found."""
    if form not in MEDIA:
        raise Http404
    content = as_workbook(rows, title, name_column) if form == "xlsx" else as_csv(rows)
    headers = {"Content-Disposition": f'attachment; filename="{name}.{form}"'}
    return HttpResponse(content, content_type=MEDIA[form], headers=headers)


def as_csv(rows):
    """Bytes of a CSV file in UTF-8 with the mark at its beginning by which spreadsheets know it.

    rows: lists of texts, Decimals and dates; numbers with a point, dates as ISO 8601.
    """
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=";").writerows([[_written(cell) for cell in row] for row in rows])
    return out.getvalue().encode("utf-8-sig")


def as_workbook(rows, title, name_column=1):
    """Bytes of an XLSX workbook of one sheet called `title`; Decimals are numbers in it and dates days.

    rows: the headings first. name_column: the column of names, counted from one; it and what stands before it stay in
    sight.
    """
    from openpyxl import Workbook
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.utils import get_column_letter

    book = Workbook(write_only=True)
    sheet = book.create_sheet(title)
    sheet.freeze_panes = f"{get_column_letter(name_column + 1)}2"
    sheet.column_dimensions[get_column_letter(name_column)].width = WIDE
    for row in rows:
        sheet.append([_cell(WriteOnlyCell, sheet, value) for value in row])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _written(value):
    if isinstance(value, Decimal):
        return f"{value:f}"
    return value.isoformat() if isinstance(value, date) else value


def _cell(kind, sheet, value):
    if not isinstance(value, Decimal):
        return value or None
    cell = kind(sheet, value)
    places = max(-value.as_tuple().exponent, 0)
    cell.number_format = f"0.{'0' * places}" if places else "0"
    return cell
