from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from parts.catalogue.models import Part
from parts.workshop.models import Versioned


class SupplierQuerySet(models.QuerySet):
    def matching(self, words):
        """Suppliers whose name holds every word."""
        found = self
        for word in words.split():
            found = found.filter(name__icontains=word)
        return found


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

    def rate_in(self, currency):
        """What one of the supplier's currency costs in another, to reckon with; None while it is not known."""
        return Decimal(1) if self.currency == currency else self.usual_rate


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
    link = models.CharField(_("link"), max_length=300, blank=True)
    seen_on = models.DateField(_("price seen on"), null=True, blank=True)

    class Meta:
        ordering = ["price"]
        constraints = [models.UniqueConstraint(fields=["part", "supplier"], name="one_price_per_supplier")]

    def __str__(self):
        return f"{self.part} from {self.supplier}"

    @property
    def unit_price(self):
        """Price of one of the part's units, in the supplier's currency, unrounded."""
        return self.price / self.pack_size

    @property
    def days(self):
        return self.supplier.lead_days if self.lead_days is None else self.lead_days
