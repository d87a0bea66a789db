"""The rows of a parts list read as parts, with every problem by row and column. Pure: no database here."""

import re
from datetime import date
from decimal import Decimal

from django.utils.translation import gettext as _

from parts.kinds import FactError, FactSpec, find_kind, get_kind, nearest_kinds, read_fact

from .amounts import currency_part, decimal_mark, named_currency, read_amount, read_number, read_span, with_unit
from .carriage import CARRIAGE, read_carriage
from .headers import TARGETS, bare, bracketed, fact_targets
from .lines import LINE_BREAK, Line, Problem, Reading, tidy

LENGTHS = {
    "name": 160, "maker": 80, "model": 80, "supplier": 120, "code": 80, "remark": 200, "link": 300, "note": 2000,
    "successor": 160,
}  # fmt: skip
ORIGINS = {
    "measured": "measured", "measured by us": "measured", "declared": "declared", "as declared": "declared",
    "typical": "typical", "typical from memory": "typical",
}  # fmt: skip
LINKED = ("link", "code", "name", "model", "price", "supplier")  # cells that may lead to the supplier's page
RANKS = {"measured": 0, "declared": 1, "typical": 2}  # the best first
STEP = 500  # rows between two words on how far the reading is
_ADDRESS = re.compile(r"https?://\S+|[^\s/:@]+\.[^\s/:@]+(:\d+)?(/\S*)?", re.IGNORECASE)
_YES_OR_NO = FactSpec("withdrawn", TARGETS["withdrawn"][0], "yes")


def read_lines(rows, matching, known, left_out=(), doubts=None, links=None):
    """Read the rows below the headings as parts: the Reading that `reading_steps` ends with."""
    steps = reading_steps(rows, matching, known, left_out, doubts, links)
    while True:
        try:
            next(steps)
        except StopIteration as end:
            return end.value


def reading_steps(rows, matching, known, left_out=(), doubts=None, links=None):
    """Read the rows below the headings as parts; yields (rows done, rows in all) now and then, returns the Reading.

    rows: [[text]], each as wide as matching.columns. doubts: {"row:column": why}: cells that a problem is made of
    where their column is used. links: {"row:column": web address} that stand behind cells.
    """
    start = 0 if matching.header is None else matching.header + 1
    heads = rows[matching.header] if matching.header is not None else [""] * len(matching.columns)
    reader = _Reader(matching, known, heads, _decimal_mark(rows[start:], matching), doubts or {}, links or {})
    blank = 0
    for index in range(start, len(rows)):
        if not any(rows[index]):
            blank += 1
        elif index not in left_out:
            reader.read(index, rows[index])
        if (index + 1) % STEP == 0:
            yield index + 1, len(rows)
    reader.check_successors()
    named = {tidy(line.supplier): line.supplier for line in reader.lines if line.supplier}
    new = sorted(name for key, name in named.items() if key not in known.suppliers)
    return Reading(reader.lines, reader.problems, blank, new)


def _by_row(marks, matching):
    """{row: {target: what}} of {"row:column": what}, without the columns that are left out."""
    found = {}
    for place, what in marks.items():
        row, column = map(int, place.split(":"))
        if target := matching.columns[column]:
            found.setdefault(row, {})[target] = what
    return found


def _decimal_mark(rows, matching):
    if matching.decimal or "price" not in matching.columns:
        return matching.decimal or None
    column = matching.columns.index("price")
    return decimal_mark(row[column] for row in rows)


class _Reader:
    """Reads row after row and keeps what it found: lines, problems, and what earlier rows said."""

    def __init__(self, matching, known, heads, decimal, doubts, links):
        self.matching, self.known, self.heads, self.decimal = matching, known, heads, decimal
        self.doubts, self.links = _by_row(doubts, matching), _by_row(links, matching)
        self.at = {target: index for index, target in enumerate(matching.columns) if target}
        self.lines, self.problems, self.seen, self.facts_read = [], [], {}, {}
        self.held, self.told = {}, set()  # facts of each part so far; contradictions told already

    def read(self, index, row):
        self.index, self.row = index, row
        line = Line(index)
        for target, why in self.doubts.get(index, {}).items():
            self._wrong(target, why)
        for target, limit in LENGTHS.items():
            setattr(line, target, self._text(target, limit))
        line.kind = self._kind(line.name)
        if not line.name:
            self._wrong("name", _("This row names no part. Type a name, or leave the row out."))
        line.link = self._link(line.link)
        self._rest(line)
        self._money(line)
        line.quantity = self._quantity(line)
        if line.kind:
            line.facts = self._facts(get_kind(line.kind))
            self._contradictions(line)
        self._against_earlier(line)
        self.lines.append(line)

    def _link(self, said):
        """Where the row leads: its link column comes first, else what a workshop keeps behind another of its cells."""
        behind = self.links.get(self.index, {})
        if said and "link" not in behind:
            if not _ADDRESS.fullmatch(said):
                self._wrong("link", _("Type a web address, as in https://shop.example/part, or clear the cell."))
            return said if said.lower().startswith("http") else f"https://{said}"
        return next((behind[target] for target in LINKED if target in behind), "")

    def _rest(self, line):
        """What only an export of the catalogue usually holds."""
        line.note = line.note.replace(LINE_BREAK, "\n")
        line.warranty = self._span("warranty", "months", 1200)
        origin, withdrawn, seen = (self._cell(target) for target in ("origin", "withdrawn", "seen_on"))
        line.origin = ORIGINS.get(bare(origin), "")
        if origin and not line.origin:
            self._wrong("origin", _("Type measured, declared or typical."))
        try:
            line.withdrawn = bool(read_fact(_YES_OR_NO, withdrawn)) if withdrawn else None
        except FactError as error:
            self._wrong("withdrawn", error)
        try:
            line.seen_on = date.fromisoformat(seen) if seen else None
        except ValueError:
            self._wrong("seen_on", _("Type a date as in 2026-03-31."))

    def check_successors(self):
        """A part that stands in for another must be in the list or in the catalogue."""
        names = self.known.names | {line.key for line in self.lines}
        for line in self.lines:
            wanted, message = (line.kind, tidy(line.successor)), ""
            if line.successor and wanted not in names:
                message = _("There is no part of this kind and name here. Correct it, or clear the cell.")
            elif line.successor and wanted == line.key:
                message = _("A part cannot stand in for itself. Name another, or clear the cell.")
            if message:
                self._wrong("successor", message, row=line.row)

    def _cell(self, target):
        return self.row[self.at[target]] if target in self.at else ""

    def _wrong(self, target, message, choices=(), row=None):
        """Note a problem of this row, or of an earlier one."""
        row = self.index if row is None else row
        self.problems.append(Problem(row, self.at.get(target), target, str(message), tuple(choices)))

    def _text(self, target, limit):
        text = self._cell(target)
        if len(text) > limit:
            label = TARGETS[target][0]
            self._wrong(target, _("%(label)s: %(length)d characters; at most %(most)d. Shorten it.")
                        % {"label": label, "length": len(text), "most": limit})  # fmt: skip
        return text

    def _kind(self, name):
        typed = self._cell("kind")
        if not typed and self.matching.kind:
            return self.matching.kind
        kind = find_kind(typed)
        if kind:
            return kind.key
        near = nearest_kinds(typed, name)
        if typed:
            message = _("“%(typed)s” is not a kind known here.") % {"typed": typed[:60]}
        else:
            message = _("This row names no kind.")
        if near:
            message = f"{message} " + _("Perhaps: %(kinds)s.") % {"kinds": ", ".join(str(k.label) for k in near)}
        self._wrong("kind", message, [(k.key, str(k.label)) for k in near])
        return ""

    def _money(self, line):
        line.supplier = line.supplier or self.matching.supplier
        line.currency = self._currency()
        line.price = self._number("price", "0", "9999999")
        line.pack = self._number("pack", "0.001", "999999") or Decimal(1)
        line.lead_days = self._span("lead_days", "days", 1000)
        line.carriage = self._carriage()
        if line.price is not None and not line.supplier:
            self._wrong(
                "supplier", _("A price needs a supplier: name one here, or one for all such rows with the columns.")
            )
        self._supplier(line)

    def _currency(self):
        """The currency that the row's own column or the sign at its price names, or ""."""
        code = named_currency(self._cell("currency") or currency_part(self._cell("price")))
        if not code and self._cell("currency"):
            self._wrong("currency", _("Three letters, as in EUR."))
        return code

    def _carriage(self):
        """The class of carriage that the row names, or ""."""
        found = read_carriage(self._cell("carriage"))
        if self._cell("carriage") and not found:
            classes = ", ".join(str(label) for _key, label in CARRIAGE)
            message = _("Not a class of carriage known here. Type one of: %(classes)s; or clear the cell.")
            self._wrong("carriage", message % {"classes": classes})
        return found

    def _supplier(self, line):
        if not line.supplier:
            return
        currency = self.known.suppliers.get(tidy(line.supplier))
        if currency is None and not self.matching.make_suppliers:
            names = self.known.suppliers
            self._wrong("supplier", _("“%(name)s” is not a supplier known here; let new ones be made, or choose one.")
                        % {"name": line.supplier[:60]}, [(name, name) for name in list(names)[:20]])  # fmt: skip
        if currency is None:  # a new supplier sells in the first currency that one of its rows names
            said = ("currency", tidy(line.supplier))
            currency = self.seen[said] = self.seen.get(said) or line.currency
        if line.currency and currency and line.currency != currency:
            self._wrong("price", _("%(supplier)s sells in %(theirs)s, but this price is in %(typed)s.")
                        % {"supplier": line.supplier, "theirs": currency, "typed": line.currency})  # fmt: skip

    def _number(self, target, lower, upper):
        typed = self._cell(target)
        try:
            return read_number(typed, self.decimal, lower, upper) if typed else None
        except ValueError as error:
            self._wrong(target, f"{TARGETS[target][0]}: {error}")
            return None

    def _span(self, target, unit, most):
        typed = self._cell(target)
        try:
            return read_span(typed, unit, most, self.decimal, self.heads[self.at[target]]) if typed else None
        except ValueError as error:
            self._wrong(target, f"{TARGETS[target][0]}: {error}")
            return None

    def _quantity(self, line):
        typed = self._cell("quantity")
        unit = get_kind(line.kind).unit if line.kind else "each"
        try:
            return read_amount(typed, unit, self.decimal) if typed else Decimal(1)
        except ValueError as error:
            self._wrong("quantity", error)
            return Decimal(1)

    def _facts(self, kind):
        facts = {}
        for target, column in self.at.items():
            typed = self.row[column]
            if not target.startswith("fact:") or not typed:
                continue
            spec = kind.fact(target.removeprefix("fact:"))
            if spec is None:
                words = {"kind": kind.label, "fact": fact_targets()[target]}
                self._wrong(target, _("The kind “%(kind)s” has no “%(fact)s”. Clear the cell.") % words)
                continue
            value, fault = self._fact(kind, spec, typed, self.heads[column])
            if fault:
                self._wrong(target, fault)
            else:
                facts[spec.name] = value
        return facts

    def _fact(self, kind, spec, typed, head):
        """(value, fault); a list says the same thing in many rows, so each saying is read once."""
        said = (kind.key, spec.name, typed)
        if said not in self.facts_read:
            try:
                text = with_unit(spec, typed, bracketed(head), self.decimal)
                self.facts_read[said] = read_fact(spec, text), None
            except FactError as error:
                self.facts_read[said] = None, str(error)
        return self.facts_read[said]

    def _contradictions(self, line):
        """What cannot all be true of a part, by what is known of it here and what this and earlier rows say.

        Told once of each part, at the cell that says it: in this row, an earlier one, or else what this row says first.
        """
        known = self.known.parts.get(line.key, {})
        held = self.held.setdefault(line.key, {n: (RANKS[origin], value, None) for n, (origin, value) in known.items()})
        rank = RANKS[line.origin or self.matching.origin]
        for name, value in line.facts.items():
            if name not in held or rank <= held[name][0]:
                held[name] = rank, value, self.index
        values = {name: value for name, (_rank, value, _row) in held.items()}
        for name, sentence in get_kind(line.kind).contradictions(values) if line.facts else ():
            row = held[name][2] if name in held else None
            target = f"fact:{name if row is not None else next(iter(line.facts))}"
            if (line.key, name) not in self.told:
                self.told.add((line.key, name))
                self._wrong(target, sentence, row=row)

    def _against_earlier(self, line):
        """The same part may stand in several rows, but not with different facts or prices."""
        if not (line.kind and line.name):
            return
        prices = ("price", line.key, tidy(line.supplier))
        said = self.seen.setdefault(prices, (line.price, line.pack, line.row))
        if line.price is not None and said[0] is None:
            self.seen[prices] = (line.price, line.pack, line.row)
        elif line.price is not None and (line.price, line.pack) != said[:2]:
            self._wrong(
                "price", _("Row %(row)d gives another price for this part and supplier.") % {"row": said[2] + 1}
            )
        self._agree(("facts", line.key, line.origin), {f"fact:{name}": value for name, value in line.facts.items()})
        self._agree(("own", line.key), {name.removesuffix("_months"): value for name, value in line.own.items()})

    def _agree(self, about, said):
        """What this row says, {target: value}, must be what earlier rows said about the same."""
        earlier = self.seen.setdefault(about, {})
        for target, value in said.items():
            if earlier.setdefault(target, (value, self.index))[0] != value:
                words = {"row": earlier[target][1] + 1}
                self._wrong(target, _("Row %(row)d says otherwise of the same part.") % words)
