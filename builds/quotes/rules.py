"""The workshop's own rules for the price of a part: a margin or mark-up by kind of part, by supplier, or by both."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.formats import number_format
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from parts.kinds import get_kind, kind_choices
from parts.suppliers.models import Supplier
from parts.workshop.models import Versioned

from .pricing import price_by_margin, price_by_markup

MARGIN, MARKUP = "margin", "markup"
BASES = [(MARGIN, _("margin, per cent of the price")), (MARKUP, _("mark-up, per cent of the cost"))]


@dataclass(frozen=True)
class Rule:
    """A rule as plain data. kind, supplier: empty or None for any. said: as the quote's page names it."""

    kind: str
    supplier: int | None
    basis: str
    percent: Decimal
    said: str = ""


def fitting(rules: Iterable[Rule], kind: str, supplier: int | None):
    """The rule for a kind of part from a supplier, or None: one for both goes before the supplier's, that before the
    kind's.

    >>> fans = Rule("fan", None, MARKUP, Decimal(30))
    >>> fen = Rule("", 7, MARGIN, Decimal(10))
    >>> fitting([fans, fen], "fan", 7) is fen
    True
    >>> fitting([fans, fen], "fan", 8) is fans
    True
    """
    for_it = [rule for rule in rules if rule.kind in ("", kind) and rule.supplier in (None, supplier)]
    return max(for_it, key=lambda rule: (rule.supplier is not None, bool(rule.kind)), default=None)


def price_of(cost, basis, percent, currency):
    """Selling price of a landed cost by a margin or a mark-up; see pricing."""
    return (price_by_markup if basis == MARKUP else price_by_margin)(cost, percent, currency)


class PriceRule(Versioned):
    """One rule, kept by the owner. It holds for drafts laid out from now on; a line's own margin goes before it."""

    kind = models.CharField(_("kind of part"), max_length=40, blank=True, choices=kind_choices)
    supplier = models.ForeignKey(Supplier, models.CASCADE, null=True, blank=True, verbose_name=_("bought from"))
    basis = models.CharField(_("reckoned as"), max_length=6, choices=BASES, default=MARGIN)
    percent = models.DecimalField(
        _("per cent"), max_digits=5, decimal_places=2,
        validators=[MinValueValidator(Decimal(0)), MaxValueValidator(Decimal(900))],
    )  # fmt: skip

    class Meta:
        ordering = ["kind", "supplier__name", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["kind", "supplier"], name="price_rule_once"),
            models.UniqueConstraint(fields=["kind"], condition=models.Q(supplier=None), name="price_rule_once_for_all"),
        ]

    def __str__(self):
        said = {"percent": number_format(self.percent.normalize(), use_l10n=True)}
        form = _t("mark-up %(percent)s %%") if self.basis == MARKUP else _t("margin %(percent)s %%")
        return f"{form % said}, {self.covers}"

    @property
    def covers(self):
        """What it is for, in words."""
        kind = get_kind(self.kind).label if self.kind else ""
        return " · ".join(str(word) for word in (kind, self.supplier) if word) or _t("all parts")

    @property
    def plain(self):
        return Rule(self.kind, self.supplier_id, self.basis, self.percent, str(self)[:120])

    @classmethod
    def all_plain(cls):
        """Every rule as plain data, in one query."""
        return [rule.plain for rule in cls.objects.select_related("supplier")]
