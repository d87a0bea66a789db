"""The catalogue as a list that reads in again without loss: as CSV, or as a workbook."""

from parts.kinds import write_fact
from parts.workshop.tables import safe_text

from .headers import heading_of
from .lines import LINE_BREAK
from .models import Fact

PART = ("kind", "name", "maker", "model", "warranty", "note", "withdrawn", "successor", "origin")
NAME_COLUMN = PART.index("name") + 1
PRICE = ("supplier", "code", "price", "currency", "pack", "lead_days", "carriage", "link", "seen_on")


def catalogue_rows(parts, with_prices):
    """The row of headings, then one row and more a part, as texts that no spreadsheet takes for a formula.

    A part takes as many rows as it has origins of facts, or prices. parts: a queryset.
    """
    names = list(
        Fact.objects.filter(part__in=parts.order_by()).order_by("name").values_list("name", flat=True).distinct()
    )
    targets = [*PART, *(PRICE if with_prices else ()), *(f"fact:{name}" for name in names)]
    yield [safe_text(heading_of(target)) for target in targets]
    fetched = parts.select_related("successor").with_facts()
    if with_prices:
        fetched = fetched.prefetch_related("prices__supplier")
    for part in fetched.iterator(chunk_size=1000):
        for cells in _rows_of(part, with_prices):
            yield [safe_text(cells.get(target, "")) for target in targets]


def _rows_of(part, with_prices):
    """[{target: text}] of one part: its facts by where they come from, its prices, side by side."""
    origins = {}
    for fact in sorted(part.facts.all(), key=lambda fact: (fact.rank, fact.name)):
        spec = part.spec.fact(fact.name)
        if spec:
            origins.setdefault(fact.origin, {})[f"fact:{fact.name}"] = str(write_fact(spec, fact.value))
    facts = [{"origin": origin, **found} for origin, found in origins.items()]
    prices = [_price(price) for price in part.prices.all()] if with_prices else []
    rows = [{"kind": str(part.spec.label), "name": part.name} for _n in range(max(len(facts), len(prices), 1))]
    rows[0] |= _part(part)
    for row, more in [*zip(rows, facts, strict=False), *zip(rows, prices, strict=False)]:
        row |= more
    return rows


def _part(part):
    return {
        "maker": part.maker,
        "model": part.model,
        "warranty": "" if part.warranty_months is None else str(part.warranty_months),
        "note": LINE_BREAK.join(part.note.splitlines()),
        "withdrawn": "yes" if part.withdrawn else "",
        "successor": part.successor.name if part.successor else "",
    }


def _price(price):
    return {
        "supplier": price.supplier.name,
        "code": price.code,
        "price": f"{price.price:.4f}",
        "currency": price.supplier.currency,
        "pack": f"{price.pack_size:.4f}",
        "lead_days": "" if price.lead_days is None else str(price.lead_days),
        "carriage": price.get_carriage_class_display(),
        "link": price.link,
        "seen_on": price.seen_on.isoformat() if price.seen_on else "",
    }
