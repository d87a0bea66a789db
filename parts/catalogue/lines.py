"""What the rows of a parts list say, as plain data: how to read them, what is known, lines, problems. No database."""

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

LINE_BREAK = " ¶ "  # how an export writes the line breaks of a note in one cell


@dataclass(frozen=True)
class Matching:
    """How a list's columns are to be read.

    columns: a target for each column ("" = leave out). header: index of the row of headings, or None.
    decimal: "," or "." or "" (work it out). kind, supplier: for rows that name none; supplier may be a new one.
    make_suppliers: whether suppliers not known yet are made. origin: of the facts of rows that name none.
    """

    columns: tuple[str, ...]
    header: int | None = None
    decimal: str = ""
    kind: str = ""
    supplier: str = ""
    make_suppliers: bool = True
    origin: str = "declared"


@dataclass(frozen=True)
class Known:
    """What the catalogue holds already.

    suppliers: {name: currency}; parts: {(kind, name): {fact: (origin, best value)}}; names: {(kind, name)} that a
    successor may be.

    Names are compared without case; `tidy()` makes the form they are kept in.
    """

    suppliers: dict = field(default_factory=dict)
    parts: dict = field(default_factory=dict)
    names: frozenset = frozenset()


@dataclass(frozen=True)
class Problem:
    """What is wrong with one cell.

    row, column: indexes in the file; column None: the list has no column for it, see how it is matched.
    choices: [(text to put there, word shown)].
    """

    row: int
    column: int | None
    target: str
    message: str
    choices: tuple = ()


@dataclass
class Line:
    """One row as a part. quantity and price are Decimal; facts are in the units their kind declares.

    origin: where its facts come from, "" as for the whole list. seen_on: a date, or None for today. carriage: the key
    of its class.
    """

    row: int
    name: str = ""
    kind: str = ""
    maker: str = ""
    model: str = ""
    supplier: str = ""
    code: str = ""
    price: Decimal | None = None
    currency: str = ""
    pack: Decimal = Decimal(1)
    lead_days: int | None = None
    carriage: str = ""
    quantity: Decimal = Decimal(1)
    remark: str = ""
    link: str = ""
    note: str = ""
    successor: str = ""
    warranty: int | None = None
    withdrawn: bool | None = None
    origin: str = ""
    seen_on: date | None = None
    facts: dict = field(default_factory=dict)

    @property
    def key(self):
        return self.kind, tidy(self.name)

    @property
    def own(self):
        """{field: value} of the part's own fields that the row says; what it leaves empty stays as it is."""
        said = {"maker": self.maker, "model": self.model, "warranty_months": self.warranty, "note": self.note,
                "withdrawn": self.withdrawn}  # fmt: skip
        return {name: value for name, value in said.items() if value not in ("", None)}


@dataclass(frozen=True)
class Reading:
    """A list as read: its lines, its problems, how many blank rows it has, and the suppliers nobody knew."""

    lines: list[Line]
    problems: list[Problem]
    blank: int
    new_suppliers: list[str]

    @property
    def unpriced(self):
        """Numbers of the rows that tell a supplier's code or link, but no price to keep it with."""
        return [line.row + 1 for line in self.lines if line.price is None and (line.code or line.link)]

    @property
    def wrong(self):
        """Indexes of the rows that have a problem."""
        return {problem.row for problem in self.problems}


def tidy(name):
    """A name as it is compared: without case, spaces tidied."""
    return " ".join(name.casefold().split())
