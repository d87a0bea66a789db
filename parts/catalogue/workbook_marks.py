"""What a workbook's sheet says beside its cells: merged cells, formulas, links, hidden rows. Nothing is followed."""

import io
import posixpath
import re
from dataclasses import dataclass, field

from django.utils.translation import gettext as _

from .listing import ListError

MOST_MERGED = 2000
MOST_LINK = 300  # characters: what a price keeps
# A link written as a formula of two literal texts; what it leads to and what it shows stand in it.
_LINK_FORMULA = re.compile(r'HYPERLINK\(\s*"([^"]*)"\s*(?:[,;]\s*"([^"]*)"\s*)?\)', re.IGNORECASE)
_WORTH = (b"mergeCell", b"<f", b":f", b"hyperlink", b"hidden")


@dataclass
class Marks:
    """Places are (row, column), counted from 0.

    merged: [(top, left, bottom, right)]. unreckoned: formulas whose result the file does not hold. links: {place: web
    address}. shown: {place: text} of links written as formulas without a kept result. hidden: rows that the
    spreadsheet does not show. too_long: places of links too long to keep.
    """

    merged: list = field(default_factory=list)
    unreckoned: list = field(default_factory=list)
    links: dict = field(default_factory=dict)
    shown: dict = field(default_factory=dict)
    hidden: list = field(default_factory=list)
    too_long: list = field(default_factory=list)

    def link(self, place, address):
        """Note where a cell leads, if that is a web page."""
        address = (address or "").strip()
        if re.fullmatch(r"https?://\S+", address, re.IGNORECASE):
            if len(address) > MOST_LINK:
                self.too_long.append(place)
            else:
                self.links[place] = address


def read_marks(archive, member):
    """The Marks of one sheet, which a reader that goes through it row by row does not tell. Raises ListError.

    archive: the open workbook. member: the sheet's name in it.
    """
    raw, marks = archive.read(member.lstrip("/")), Marks()
    if any(word in raw for word in _WORTH):
        from defusedxml.ElementTree import iterparse

        targets = _targets(archive, member.lstrip("/")) if b"hyperlink" in raw else {}
        for _event, element in iterparse(io.BytesIO(raw)):
            _read(element, marks, targets)
    if len(marks.merged) > MOST_MERGED:
        raise ListError(_("It has over %(most)d merged cells. Unmerge them and send it again.") % {"most": MOST_MERGED})
    marks.merged.sort()
    return marks


def _targets(archive, member):
    """{relation's key: where it leads} of a sheet's links to the outside."""
    from defusedxml.ElementTree import fromstring

    folder, name = posixpath.split(member)
    try:
        raw = archive.read(f"{folder}/_rels/{name}.rels")
    except KeyError:
        return {}
    return {relation.get("Id"): relation.get("Target") for relation in fromstring(raw)}


def _read(element, marks, targets):
    """Take what one element of the sheet says; its row is forgotten once it is read."""
    tag = _bare(element.tag)
    if tag == "c":
        _read_formula(element, marks)
    elif tag == "mergeCell":
        left, top, right, bottom = _bounds(element)
        marks.merged.append((top - 1, left - 1, bottom - 1, right - 1))
    elif tag == "hyperlink":
        key = next((value for name, value in element.attrib.items() if _bare(name) == "id"), None)
        target, within = targets.get(key), element.get("location")
        left, top, right, bottom = _bounds(element)
        for row in range(top, min(bottom, top + 5000) + 1):
            for column in range(left, min(right, left + 200) + 1):
                marks.link((row - 1, column - 1), f"{target}#{within}" if target and within else target)
    elif tag == "row":
        if element.get("hidden") in {"1", "true"}:
            marks.hidden.append(int(element.get("r", 1)) - 1)
        element.clear()


def _read_formula(cell, marks):
    from openpyxl.utils import coordinate_to_tuple

    parts = {_bare(child.tag): child.text for child in cell}
    if "f" not in parts:
        return
    row, column = coordinate_to_tuple(cell.get("r", "A1"))
    place, link = (row - 1, column - 1), _LINK_FORMULA.fullmatch((parts["f"] or "").strip())
    if link:
        marks.link(place, link[1])
    if not parts.get("v") and cell.get("t") != "str":
        if link:
            marks.shown[place] = link[2] or link[1]
        else:
            marks.unreckoned.append(place)


def _bounds(element):
    from openpyxl.utils import range_boundaries

    return range_boundaries(element.get("ref"))


def _bare(name):
    return name.rpartition("}")[2]
