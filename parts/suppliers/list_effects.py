"""What saving a list would do to the catalogue: which of its parts are new, and what it changes of the others."""

from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext as _

from parts.catalogue.lines import tidy
from parts.catalogue.models import Fact, Part
from parts.kinds import show_fact

from .models import said_of_price


@dataclass(frozen=True)
class Effect:
    """Of one row: the part it names, as here (None: it is made), and [(what, was, will be)] of what changes."""

    part: Part | None
    changes: tuple = ()


class Effects:
    """What a list as read does; looked up once for the whole of it, and once more for the rows of a page."""

    def __init__(self, draft, reading):
        self.origin = draft.origin
        self.lines = [line for line in reading.lines if line.name and line.kind]
        here = Part.objects.keys_by_name({line.name for line in self.lines}) if self.lines else {}
        self.here = {line.key: here[line.key] for line in self.lines if line.key in here}

    @property
    def known(self):
        """How many of the list's parts the catalogue has already."""
        return len(self.here)

    @property
    def new(self):
        return len({line.key for line in self.lines}) - self.known

    def of_rows(self, indexes):
        """{row: Effect} of the rows with these indexes, in a constant number of queries."""
        lines = [line for line in self.lines if line.row in set(indexes)]
        wanted = {self.here[line.key] for line in lines if line.key in self.here}
        parts = Part.objects.with_facts().prefetch_related("prices__supplier").select_related("successor")
        parts = parts.in_bulk(wanted) if wanted else {}
        return {line.row: self._of(line, parts.get(self.here.get(line.key))) for line in lines}

    def _of(self, line, part):
        if part is None:
            return Effect(None)
        return Effect(part, (*_own(line, part), *self._facts(line, part), *_price(line, part)))

    def _facts(self, line, part):
        """Facts whose best known value changes, or stays because it comes from somewhere better."""
        origin, known = line.origin or self.origin, part.known
        stored = {fact.name: fact.value for fact in part.facts.all() if fact.origin == origin}
        for name, value in line.facts.items():
            best = known.get(name)
            if best and value not in (best.value, stored.get(name)):
                spec, now = part.spec.fact(name), Fact.of(part.pk, name, value, origin)
                words = [show_fact(spec, value)]
                words += [_("set aside for the value %(origin)s") % {"origin": best.get_origin_display()}]
                yield str(spec.label), show_fact(spec, best.value), ", ".join(words[: 1 + (best.rank < now.rank)])


def _own(line, part):
    for name, value in part.differing(line.own).items():
        yield _label(part, name), _text(getattr(part, name)), _text(value)
    if line.successor and (part.successor is None or tidy(part.successor.name) != tidy(line.successor)):
        yield _label(part, "successor"), _text(part.successor), line.successor


def _price(line, part):
    row = next((price for price in part.prices.all() if tidy(price.supplier.name) == tidy(line.supplier)), None)
    for name, value in row.differing(said_of_price(line)).items() if row else ():
        if name != "seen_on":
            yield _label(row, name), _text(getattr(row, name)), _text(value)


def _label(row, name):
    return str(row._meta.get_field(name).verbose_name)


def _text(value):
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, Decimal):
        return f"{value.normalize():f}"
    return "–" if value in ("", None) else str(value)[:60]
