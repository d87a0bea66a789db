from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from parts.catalogue.models import Part
from parts.shelf.models import Move, Tray
from parts.suppliers.models import Supplier
from parts.workshop.models import Person, Versioned
from parts.workshop.numbers import label


class Order(Versioned):
    """What was ordered from one supplier. Its state derives from its lines."""

    number = models.PositiveIntegerField(unique=True)
    supplier = models.ForeignKey(Supplier, models.PROTECT, related_name="orders")
    reference = models.CharField(_("supplier's reference"), max_length=80, blank=True)
    currency = models.CharField(max_length=3, default="EUR")
    rate = models.DecimalField(
        _("rate: workshop's currency for one of theirs"), max_digits=14, decimal_places=6, default=Decimal(1),
        validators=[MinValueValidator(Decimal("0.000001"))],
    )  # fmt: skip
    carriage = models.DecimalField(
        _("carriage"),
        max_digits=10,
        decimal_places=2,
        default=Decimal(0),
        validators=[MinValueValidator(Decimal(0))],
    )
    import_charges = models.DecimalField(
        _("duty and import charges"),
        max_digits=10,
        decimal_places=2,
        default=Decimal(0),
        validators=[MinValueValidator(Decimal(0))],
    )
    made_at = models.DateTimeField(default=timezone.now)
    placed_at = models.DateTimeField(null=True, blank=True)
    cancelled_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-number"]

    def __str__(self):
        return label("order", self.number)


class OrderLine(models.Model):
    """One part in an order, in the part's unit; shared out to trays."""

    order = models.ForeignKey(Order, models.CASCADE, related_name="lines")
    part = models.ForeignKey(Part, models.PROTECT, related_name="order_lines")
    quantity = models.DecimalField(max_digits=10, decimal_places=3, validators=[MinValueValidator(Decimal("0.001"))])
    unit_price = models.DecimalField(max_digits=14, decimal_places=6, validators=[MinValueValidator(Decimal(0))])
    promised = models.DateField(_("promised for"), null=True, blank=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self):
        return f"{self.quantity.normalize():f} × {self.part}"


class Share(models.Model):
    """How much of an order line is for which tray."""

    line = models.ForeignKey(OrderLine, models.CASCADE, related_name="shares")
    tray = models.ForeignKey(Tray, models.PROTECT, related_name="shares")
    quantity = models.DecimalField(max_digits=10, decimal_places=3)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["line", "tray"], name="one_share_per_tray")]

    def __str__(self):
        return f"{self.quantity.normalize():f} for {self.tray}"


class Arrival(models.Model):
    """Something that came for an order line: how many, in what condition."""

    GOOD, DAMAGED, WRONG = "good", "damaged", "wrong"
    line = models.ForeignKey(OrderLine, models.PROTECT, related_name="arrivals")
    quantity = models.DecimalField(max_digits=10, decimal_places=3)
    condition = models.CharField(
        max_length=8,
        default=GOOD,
        choices=[(GOOD, _("good")), (DAMAGED, _("damaged")), (WRONG, _("wrong item"))],
    )
    moves = models.ManyToManyField(Move, related_name="arrivals")
    note = models.CharField(max_length=200, blank=True)
    at = models.DateTimeField(default=timezone.now)
    person = models.ForeignKey(Person, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self):
        return f"{self.quantity.normalize():f} {self.condition}: {self.line.part}"


class ReturnCase(models.Model):
    """A damaged or wrong item on its way back, until credited or replaced."""

    OPEN, SENT, CREDITED, REPLACED = "open", "sent", "credited", "replaced"
    STATES = [
        (OPEN, _("to send back")),
        (SENT, _("sent back")),
        (CREDITED, _("credited")),
        (REPLACED, _("replaced")),
    ]
    arrival = models.ForeignKey(Arrival, models.PROTECT, related_name="returns")
    state = models.CharField(
        max_length=9, default=OPEN,
        choices=STATES,
    )  # fmt: skip
    note = models.CharField(max_length=200, blank=True)
    opened_at = models.DateTimeField(default=timezone.now)
    closed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-opened_at"]

    def __str__(self):
        return f"return of {self.arrival}"
