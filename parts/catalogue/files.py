"""The file that holds a parts list, whatever it is: a CSV text or an XLSX workbook."""

from .listing import read_list
from .workbook import read_workbook


def read_file(data):
    """[Sheet] of a file's bytes, the likeliest first: one of a CSV text, several of a workbook. Raises ListError."""
    return read_workbook(data) if data.startswith(b"PK\x03\x04") else [read_list(data)]
