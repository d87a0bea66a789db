from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models.functions import Coalesce, Greatest
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from parts.catalogue.carriage import CARRIAGE
from parts.catalogue.lines import tidy
from parts.catalogue.models import Part
from parts.workshop.models import Versioned


class SupplierQuerySet(models.QuerySet):
    def matching(self, words):
        """Suppliers whose name holds every word."""
        found = self
        for word in words.split():
            found = found.filter(name__icontains=word)
        return found

    def currencies(self):
        """{tidy name: currency} of all suppliers."""
        return {tidy(name): currency for name, currency in self.values_list("name", "currency")}

    def take_lines(self, lines, currency):
        """Make the suppliers that a list's lines name and nobody knew. Returns ({tidy name: pk}, [pk made]).

        A new supplier sells in the currency its lines name, else in the given one.
        """
        known, new = {tidy(name): pk for name, pk in self.values_list("name", "pk")}, {}
        for line in lines:
            name = tidy(line.supplier)
            if name and name not in known:
                made = new.setdefault(name, Supplier(name=line.supplier, currency=""))
                made.currency = made.currency or line.currency
        for made in new.values():
            made.currency = made.currency or currency
        self.bulk_create(new.values())
        return known | {name: made.pk for name, made in new.items()}, [made.pk for made in new.values()]


class Supplier(Versioned):
    """Somebody who sells parts."""

    name = models.CharField(_("name"), max_length=120, unique=True)
    email = models.EmailField(_("e-mail"), blank=True)
    web = models.CharField(_("web address"), max_length=200, blank=True)
    account = models.CharField(_("our customer number"), max_length=60, blank=True)
    currency = models.CharField(_("currency"), max_length=3, default="EUR")
    usual_rate = models.DecimalField(
        _("usual rate"),
        max_digits=14,
        decimal_places=6,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal("0.000001"))],
        help_text=_(
            "What one of its currency costs in the workshop's own, to reckon quotes with; "
            "an order takes the day's rate. Leave empty for the workshop's currency."
        ),
    )
    lead_days = models.PositiveSmallIntegerField(_("usual lead time, days"), default=5)
    # Learnt from its own arrivals (see parts/orders/lead_times.py) and kept here, as every price and forecast asks.
    learnt_median_days = models.PositiveSmallIntegerField(null=True, blank=True, editable=False)
    learnt_most_days = models.PositiveSmallIntegerField(null=True, blank=True, editable=False)
    learnt_from = models.PositiveSmallIntegerField(default=0, editable=False)
    carriage = models.DecimalField(
        _("usual carriage"),
        max_digits=10,
        decimal_places=2,
        default=Decimal(0),
        validators=[MinValueValidator(Decimal(0))],
    )
    free_carriage_from = models.DecimalField(
        _("carriage free from"), max_digits=12, decimal_places=2, null=True, blank=True
    )
    minimum_order = models.DecimalField(_("minimum order"), max_digits=12, decimal_places=2, null=True, blank=True)
    note = models.TextField(_("note"), blank=True)

    objects = SupplierQuerySet.as_manager()

    class Meta:
        ordering = ["name"]

    def __str__(self):
        return self.name

    @property
    def days(self):
        """Lead time to reckon with: four of five of its lines came within it, or while few came the usual one."""
        return self.lead_days if self.learnt_most_days is None else self.learnt_most_days

    def rate_in(self, currency):
        """What one of the supplier's currency costs in another, to reckon with; None while it is not known."""
        return Decimal(1) if self.currency == currency else self.usual_rate


class SupplierPriceQuerySet(models.QuerySet):
    def take_lines(self, lines, parts, suppliers):
        """Set the prices that a list's lines name. parts: {line key: pk}; suppliers: {tidy name: pk}.

        A line without a price can tell code, link, time and carriage of a price that is known already.
        Returns ([pk made], [[pk, version now, {field: value before}]]).
        """
        wanted = {}
        for line in sorted(lines, key=lambda line: line.price is None):
            if line.supplier:
                wanted.setdefault((parts[line.key], suppliers[tidy(line.supplier)]), line)
        stored = {(row.part_id, row.supplier_id): row for row in self.filter(part__in={part for part, _s in wanted})}
        new, changed = [], []
        for place, line in wanted.items():
            row = stored.get(place)
            if row is None and line.price is not None:
                new.append(SupplierPrice(part_id=place[0], supplier_id=place[1], **_price_fields(line)))
            elif row is not None and (fields := row.differing(said_of_price(line))):
                before = {name: getattr(row, name) for name in fields}
                vars(row).update(fields, version=row.version + 1)
                changed.append([row, before])
        self.bulk_create(new, batch_size=500)
        self.bulk_update([row for row, _before in changed], [*PRICE_FIELDS, "version"], batch_size=200)
        return [row.pk for row in new], [
            [row.pk, row.version, {name: None if value is None else str(value) for name, value in before.items()}]
            for row, before in changed
        ]


PRICE_FIELDS = ("price", "pack_size", "code", "lead_days", "carriage_class", "link", "seen_on")


def _price_fields(line):
    seen = line.seen_on or timezone.localdate()
    values = (line.price, line.pack, line.code, line.lead_days, line.carriage, line.link, seen)
    return dict(zip(PRICE_FIELDS, values, strict=True))


def said_of_price(line):
    """{field: value} that a list's line changes of a price that is known; pack and day belong to its price."""
    fields = {name: value for name, value in _price_fields(line).items() if value not in ("", None)}
    return fields if "price" in fields else {n: v for n, v in fields.items() if n not in {"pack_size", "seen_on"}}


class SupplierPrice(Versioned):
    """What a supplier asks for a part: `price` buys `pack_size` of the part's unit."""

    part = models.ForeignKey(Part, models.CASCADE, related_name="prices")
    supplier = models.ForeignKey(Supplier, models.CASCADE, related_name="prices")
    code = models.CharField(_("supplier's code"), max_length=80, blank=True)
    price = models.DecimalField(_("price"), max_digits=12, decimal_places=4, validators=[MinValueValidator(Decimal(0))])
    pack_size = models.DecimalField(
        _("pack size"),
        max_digits=10,
        decimal_places=3,
        default=Decimal(1),
        validators=[MinValueValidator(Decimal("0.001"))],
    )
    lead_days = models.PositiveSmallIntegerField(_("lead time, days"), null=True, blank=True)
    carriage_class = models.CharField(_("carriage class"), max_length=12, blank=True, choices=CARRIAGE)
    link = models.CharField(_("link"), max_length=300, blank=True)
    seen_on = models.DateField(_("price seen on"), null=True, blank=True)

    objects = SupplierPriceQuerySet.as_manager()

    class Meta:
        ordering = ["price"]
        constraints = [models.UniqueConstraint(fields=["part", "supplier"], name="one_price_per_supplier")]

    def __str__(self):
        return f"{self.part} from {self.supplier}"

    def differing(self, fields):
        """Those of fields {name: value} that are otherwise here."""
        return {name: value for name, value in fields.items() if getattr(self, name) != value}

    @property
    def unit_price(self):
        """Price of one of the part's units, in the supplier's currency, unrounded."""
        return self.price / self.pack_size

    @property
    def days(self):
        """Lead time to reckon with: the part's own, or the supplier's learnt one where that is longer."""
        return (
            self.supplier.days if self.lead_days is None else max(self.lead_days, self.supplier.learnt_most_days or 0)
        )


# SupplierPrice.days for the database.
LEAD_DAYS = Greatest(
    Coalesce("lead_days", "supplier__learnt_most_days", "supplier__lead_days"),
    Coalesce("supplier__learnt_most_days", 0),
)
