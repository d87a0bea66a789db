"""A logger's file read into columns of cells: any delimiter, encoding, preamble and row of units. No database here."""

import csv
import re
from dataclasses import dataclass
from operator import methodcaller

import numpy as np
from django.utils.translation import gettext as _

from parts.catalogue.headers import bare
from parts.catalogue.listing import ListError, decoded, find_delimiter

MOST_BYTES = 48 * 2**20
MOST_ROWS = 1_000_000
MOST_COLUMNS = 60
HEAD_ROWS, WIDTH_ROWS = 40, 400
NOTHING = {"", "-", "–", "--", "nan", "null", "none", "n/a", "na", "#n/a", "err", "error"}
_VALUE = re.compile(r"([-+−]?\d[\d.,]*(?:[eE][-+]?\d+)?)\s*(\D{0,8})")


class LogError(ValueError):
    """The file cannot be read as a log; `str()` says what to send instead."""


@dataclass(frozen=True)
class LogFile:
    """headings: one a column, "" without; cells: a tuple of texts a column; first_line: line of the first row."""

    headings: tuple
    cells: tuple
    first_line: int

    @property
    def rows(self):
        return len(self.cells[0]) if self.cells else 0

    def shown(self, count=3):
        """The first cells of each column that hold something."""
        return [[cell for cell in column[:200] if cell][:count] for column in self.cells]


def read_log(data):
    """The LogFile of a CSV file's bytes. Raises LogError."""
    try:
        text, _encoding = decoded(data)
        delimiter = find_delimiter(text[:20000], hits=_words)
    except ListError as error:
        raise LogError(str(error)) from None
    lines = text.rstrip().splitlines()
    if len(lines) > MOST_ROWS:
        told = {"rows": len(lines), "most": MOST_ROWS}
        raise LogError(_("The log has %(rows)d rows; at most %(most)d are taken. Log less often.") % told)
    start, headings = _headings(_rows(lines[:WIDTH_ROWS], delimiter))
    body = lines[start:]
    if len(body) < 2 or len(headings) < 2:
        raise LogError(_("This is no log: send a CSV file with the time and the temperatures, one reading a line."))
    return LogFile(headings, _columns(body, len(headings), delimiter), start + 1)


def numbers(cells):
    """(float array, unit that the first cell carries); what is no number is NaN. Comma or point.

    >>> numbers(("31,2 °C", "31,4 °C", "n/a"))
    (array([31.2, 31.4,  nan]), '°C')
    """
    joined = "\n".join(cells)
    plain = joined.replace(",", ".").split("\n") if "," in joined and "." not in joined else cells
    try:
        values = np.fromiter(map(float, plain), float, len(cells))
    except ValueError:
        known = {cell: _number(cell) for cell in set(cells)}
        values = np.fromiter(map(known.__getitem__, cells), float, len(cells))
    values[~np.isfinite(values)] = np.nan
    first = next((found for cell in cells[:50] if (found := _VALUE.fullmatch(cell.strip()))), None)
    return values, first[2].strip() if first else ""


def _number(cell):
    try:
        return float(cell)
    except ValueError:
        pass
    found = _VALUE.fullmatch(cell.strip())
    if not found:
        return np.nan
    plain = found[1].replace("−", "-")
    if "," in plain:  # the last of two different marks is the decimal one
        plain = plain.replace(".", "").replace(",", ".") if plain.rfind(",") > plain.rfind(".") else plain.replace(
            ",", "")  # fmt: skip
    try:
        return float(plain)
    except ValueError:
        return np.nan


def _words(row):
    """How many cells of a row are words, as headings are."""
    return sum(1 for cell in row if bare(cell) and not re.match(r"[-+\d]", cell.strip()))


def _rows(lines, delimiter):
    try:
        rows = list(csv.reader(lines, delimiter=delimiter, skipinitialspace=True))
    except csv.Error:
        raise LogError(_("A quotation mark in this file does not end. Export the log again as CSV.")) from None
    if any(len(row) > MOST_COLUMNS for row in rows[:HEAD_ROWS]):
        raise LogError(_("The log has more than %(most)d columns. Leave out what is not needed.") % {
            "most": MOST_COLUMNS})  # fmt: skip
    return rows


def _columns(body, width, delimiter):
    """A tuple of cells a column. Even lines without quotation marks are cut in one go: a long log is mostly these."""
    if set(map(_count_of(delimiter), body)) == {width - 1} and not any('"' in line for line in body):
        flat = delimiter.join(body).split(delimiter)
        return tuple(flat[column::width] for column in range(width))
    rows = _rows(body, delimiter)
    if delimiter == "," and sum(1 for row in rows[:200] if len(row) > width) > len(rows[:200]) / 2:
        raise LogError(
            _("Rows have more cells than there are headings: decimal commas between commas cannot be told apart. "
              "Export the log with semicolons or tabs between the columns.")
        )  # fmt: skip
    even = [row if len(row) == width else (row + [""] * width)[:width] for row in rows if any(row)]
    return tuple(zip(*even, strict=True))


def _count_of(delimiter):
    return methodcaller("count", delimiter)


def _headings(rows):
    """(index of the first row of readings, headings): headings are the last wordy row before the readings begin."""
    head = rows[:HEAD_ROWS]
    widths = [len(row) for row in rows if any(row)]
    usual = max(set(widths), key=widths.count, default=0)
    start = next((n for n, row in enumerate(head) if len(row) == usual and _is_reading(row)), 0)
    named = [n for n in range(start) if _words(rows[n]) and len(rows[n]) > 1]
    if not named:
        return start, ("",) * usual
    units = rows[named[-1]] if len(named) > 1 and _are_units(rows[named[-1]]) else None
    words = rows[named[-2]] if units else rows[named[-1]]
    joined = (
        [f"{word} ({unit})" if unit else word for word, unit in zip(words, units, strict=False)] if units else words
    )
    return start, tuple(" ".join(cell.split()) for cell in joined)


def _is_reading(row):
    """At least half of what stands in it begins like a number."""
    filled = [cell.strip() for cell in row if cell.strip()]
    return len(filled) >= 2 and sum(bool(re.match(r"[-+−]?\.?\d", cell)) for cell in filled) * 2 >= len(filled)


def _are_units(row):
    filled = [cell.strip(" []()") for cell in row if cell.strip()]
    return bool(filled) and all(len(cell) <= 6 for cell in filled) and any(
        cell in ("°C", "°F", "C", "F", "K", "s", "min", "W", "rpm", "%", "L/min") for cell in filled
    )  # fmt: skip
