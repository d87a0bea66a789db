"""What somebody types to find parts: “radiator, 3 × 120, ≤ 45 mm, in stock”. Pure; knows kinds, no database."""

import re
from dataclasses import dataclass, field
from functools import cache

from django.utils.translation import gettext as _

from parts.kinds import all_kinds, find_kind, get_kind, show_fact
from thermal.units import QuantityError, numeral, read_quantity

OPS = {
    "≤": "lte", "<=": "lte", "=<": "lte", "at most": "lte", "up to": "lte", "≥": "gte", ">=": "gte", "=>": "gte",
    "at least": "gte", "<": "lt", "under": "lt", "below": "lt", ">": "gt", "over": "gt", "above": "gt", "=": "exact",
}  # fmt: skip
SIGNS = {"lte": "≤", "gte": "≥", "lt": "<", "gt": ">", "exact": "=", "holds": ""}
_OP = re.compile(r"(≤|<=|=<|≥|>=|=>|<|>|=|\b(?:at most|up to|at least|under|below|over|above)\b)", re.IGNORECASE)
_SIZED = re.compile(r"(?<![\d.,])(\d{1,3})\s*[x×*]\s*(\d{1,3})(?:\s*mm\b)?(?!\s*[x×*\d])", re.IGNORECASE)
_IN_STOCK = re.compile(r"\b(in stock|on the shelf|auf lager|en stock)\b", re.IGNORECASE)
MOST = 120  # characters read


@dataclass(frozen=True)
class Condition:
    """What a fact must be. names: facts of which one must hold it. op: lte, gte, lt, gt, exact, or holds (a text)."""

    names: tuple[str, ...]
    op: str
    value: float | str
    label: str = ""
    said: str = ""

    def __str__(self):
        return " ".join(filter(None, [self.label, SIGNS[self.op], self.said]))

    @property
    def bounds(self):
        """{lookup: number}; the last figures of a number are noise of its conversion, and count on neither side."""
        slack = abs(self.value) * 1e-6
        return {
            "lte": {"lte": self.value + slack},
            "gte": {"gte": self.value - slack},
            "exact": {"gte": self.value - slack, "lte": self.value + slack},
            "lt": {"lt": self.value - slack},
            "gt": {"gt": self.value + slack},
        }[self.op]

    @classmethod
    def on(cls, spec, op, value):
        """A condition on one declared fact; a number is in the unit of its declaration."""
        return cls((spec.name,), op, value, str(spec.label), value if spec.is_text else show_fact(spec, value))


@dataclass
class Query:
    """words: texts that name, maker or model must hold. problems: sentences on what could not be understood."""

    kind: str = ""
    words: list[str] = field(default_factory=list)
    conditions: list[Condition] = field(default_factory=list)
    in_stock: bool = False
    problems: list[str] = field(default_factory=list)

    @property
    def understood(self):
        """[text] of what was taken for more than words, for the page."""
        kind = [str(get_kind(self.kind).label)] if self.kind else []
        return [*kind, *map(str, self.conditions), *([_("in stock")] if self.in_stock else [])]


def read_query(text, kind=""):
    """The Query of a typed text. kind: the key of the kind already chosen, which then needs no naming.

    >>> found = read_query("radiator, 3 × 120, ≤ 45 mm, in stock")
    >>> found.kind, [str(one) for one in found.conditions], found.in_stock
    ('radiator', ['fan sections = 3', 'section size = 120 mm', 'thickness ≤ 45 mm'], True)
    """
    pieces = [piece.strip() for piece in re.split(r"[;\n]|,(?!\d)", text[:MOST]) if piece.strip()]
    query = Query(kind=kind if kind in all_kinds() else "")
    query.kind = query.kind or _kind_of(pieces)
    for piece in pieces:
        _read_piece(query, piece)
    return query


def fact_condition(spec, op, text):
    """A condition on one fact from a typed text. Raises QuantityError or ValueError with what to type instead."""
    if spec.is_text:
        return Condition.on(spec, "holds", text)
    if spec.unit == "yes":
        return Condition.on(spec, "exact", 1.0 if text in {"1", "yes"} else 0.0)
    if spec.unit == "count":
        return Condition.on(spec, op, float(numeral(text)))
    if spec.shown_in and re.fullmatch(r"[\d.,]+", text):
        text = f"{text} {spec.shown_in}"
    return Condition.on(spec, op, read_quantity(text, spec.unit, name=str(spec.label)))


def even(text):
    """Text as it is searched: without case, “3 x 120” and “3 × 120” as 3×120."""
    return re.sub(r"(\d)\s*[x×*]\s*(?=\d)", r"\1×", " ".join(text.casefold().split()))


def _kind_of(pieces):
    """The kind that a piece names alone; or, where something is asked of a fact, the kind that a piece begins with."""
    for piece in pieces:
        kind = find_kind(piece)
        if kind:
            return kind.key
    asks = any(_OP.search(piece) or _SIZED.search(piece) or _IN_STOCK.search(piece) for piece in pieces)
    words = re.findall(r"[^\W\d]+", " ".join(pieces)) if asks else []
    runs = [words[start : start + size] for size in (3, 2, 1) for start in range(len(words) - size + 1)]
    found = (find_kind(" ".join(run)) for run in runs)
    return next((kind.key for kind in found if kind), "")


def _read_piece(query, piece):
    piece, stocked = _IN_STOCK.subn(" ", piece)
    query.in_stock = query.in_stock or bool(stocked)
    if query.kind:
        piece = _take_sized(query, piece)
    before, *asked = _OP.split(piece)
    for op, value in zip(asked[::2], asked[1::2], strict=True):
        before = _take_asked(query, before, OPS[op.casefold()], value.strip())
    _take_rest(query, before.strip())


def _take_sized(query, piece):
    """Take “3 × 120” out of a piece, where the kind has facts that it names."""
    found, sized = _SIZED.search(piece), get_kind(query.kind).sized
    if not found or not sized:
        return piece
    first, second = sized[:2]
    spec = get_kind(query.kind).fact
    if spec(first).is_text:
        entry = f"{found[1]}×{found[2]}"
        query.conditions.append(Condition(sized, "holds", entry, _("places"), entry))
    else:
        for name, digits in ((first, found[1]), (second, found[2])):
            query.conditions.append(Condition.on(spec(name), "exact", float(digits)))
    return f"{piece[: found.start()]} {piece[found.end() :]}"


def _take_asked(query, before, op, value):
    """A condition of one comparison; gives back the words before it that name no fact."""
    words, spec = _named(query.kind, before)
    specs = [spec] if spec else _measures(query.kind)
    if not specs:
        said = {"asked": f"{SIGNS[op]} {value}"}
        query.problems.append(_("“%(asked)s” of what? Name a kind or a fact before it: thickness ≤ 45 mm.") % said)
        return words
    fault = None
    for spec in specs:
        try:
            query.conditions.append(fact_condition(spec, op, value))
        except (QuantityError, ValueError) as error:
            fault = fault or (str(error) if isinstance(error, QuantityError) else f"{spec.label}: “{value}”?")
        else:
            return words
    query.problems.append(fault)
    return words


def _take_rest(query, text):
    """What is left of a piece: the kind's own word, a choice or a named value of a fact, else words."""
    kind = find_kind(text)
    if not text or (kind and kind.key == query.kind):
        return
    if query.kind and (condition := _choice(get_kind(query.kind), text) or _named_value(query.kind, text)):
        query.conditions.append(condition)
        return
    words = [word for word in even(text).split() if word.strip(".,:")]
    query.words += [word for word in words if not (query.kind and _names(word, query.kind))]


def _names(word, key):
    kind = find_kind(word)
    return kind is not None and kind.key == key


def _choice(kind, text):
    """“M4”, “copper”: a text that one of the kind's facts may be."""
    bare = _bare(text)
    for spec in kind.facts:
        for choice in spec.choices:
            if _bare(choice) == bare:
                return Condition.on(spec, "holds", choice)
    return None


def _named_value(key, text):
    """“thickness 45 mm”: a fact's name and a value behind it, or a measure alone with its unit."""
    found = re.fullmatch(r"(?P<name>[^\d]*?)\s*(?P<value>\d[\d.,]*\s*[^\d\s].*|\d[\d.,]*)", text)
    if not found:
        return None
    words, spec = _named(key, found["name"])
    bare_number = re.fullmatch(r"[\d.,]+", found["value"])
    if words or (bare_number and not spec):
        return None
    for one in [spec] if spec else _measures(key):
        try:
            return fact_condition(one, "exact", found["value"])
        except (QuantityError, ValueError):
            continue
    return None


def _measures(key):
    if not key:
        return []
    kind = get_kind(key)
    first = [kind.fact(name) for name in kind.measures or kind.brief]
    return [spec for spec in dict.fromkeys([*first, *kind.facts]) if not spec.is_text and spec.unit != "yes"]


def _named(key, text):
    """(words before, declaration) of the fact that the last words of a text name; (text, None) when they name none."""
    words = text.split()
    for start in range(len(words)):
        spec = _fact_words(key).get(_bare(" ".join(words[start:])))
        if spec:
            return " ".join(words[:start]), spec
    return text.strip(), None


def _bare(text):
    return "".join(c for c in text.casefold() if c.isalnum())


@cache
def _fact_words(key):
    """{bare label or name: declaration} of a kind's facts, or every kind's; also how one label alone begins or ends."""
    specs = [spec for kind in all_kinds().values() if key in ("", kind.key) for spec in kind.facts]
    known, starts = {}, {}
    for spec in specs:
        for word in (str(spec.label), spec.name):
            known.setdefault(_bare(word), spec)
        words = str(spec.label).split()
        for size in range(1, len(words)):
            starts.setdefault(_bare(" ".join(words[:size])), set()).add(spec.name)
            starts.setdefault(_bare(" ".join(words[size:])), set()).add(spec.name)
    named = {spec.name: spec for spec in reversed(specs)}
    return {
        bare: named[next(iter(names))] for bare, names in starts.items() if len(names) == 1 and len(bare) > 2
    } | known
