from decimal import Decimal

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from parts.catalogue.models import Part
from parts.workshop.models import Person


class Tray(models.Model):
    """Where parts gather: a tray for each job, and the free shelf, which is a tray too."""

    name = models.CharField(max_length=40, unique=True)
    is_free_shelf = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["is_free_shelf"], condition=models.Q(is_free_shelf=True), name="one_free_shelf"
            )
        ]

    def __str__(self):
        return self.name

    @classmethod
    def free_shelf(cls):
        return cls.objects.get_or_create(is_free_shelf=True, defaults={"name": "free shelf"})[0]


class Place(models.Model):
    """A named place of the workshop: a shelf board, a box."""

    name = models.CharField(_("name"), max_length=60, unique=True)

    class Meta:
        ordering = ["name"]

    def __str__(self):
        return self.name


class Stock(models.Model):
    """How much of a part lies where, for which tray, and whose it is. Never below zero."""

    OURS, CLIENTS = "ours", "client"
    part = models.ForeignKey(Part, models.PROTECT, related_name="stock")
    place = models.ForeignKey(Place, models.PROTECT, related_name="stock")
    tray = models.ForeignKey(Tray, models.PROTECT, related_name="stock")
    owner = models.CharField(max_length=6, choices=[(OURS, _("ours")), (CLIENTS, _("the client's"))], default=OURS)
    quantity = models.DecimalField(max_digits=10, decimal_places=3, default=Decimal(0))

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["part", "place", "tray", "owner"], name="stock_one_row"),
            models.CheckConstraint(condition=models.Q(quantity__gte=0), name="stock_not_negative"),
        ]

    def __str__(self):
        return f"{self.quantity.normalize():f} × {self.part} in {self.tray}"


class Move(models.Model):
    """One recorded change of stock: in, out or from one row to another."""

    part = models.ForeignKey(Part, models.PROTECT, related_name="moves")
    source = models.ForeignKey(Stock, models.PROTECT, null=True, related_name="moves_out")
    target = models.ForeignKey(Stock, models.PROTECT, null=True, related_name="moves_in")
    quantity = models.DecimalField(max_digits=10, decimal_places=3)
    reason = models.CharField(max_length=120)
    person = models.ForeignKey(Person, models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [models.CheckConstraint(condition=models.Q(quantity__gt=0), name="move_something")]

    def __str__(self):
        return f"{self.quantity.normalize():f} × {self.part}: {self.reason}"


class Unit(models.Model):
    """One item with a serial number."""

    part = models.ForeignKey(Part, models.PROTECT, related_name="units")
    serial = models.CharField(_("serial number"), max_length=80)
    tray = models.ForeignKey(Tray, models.PROTECT, related_name="units")
    received = models.ForeignKey(Move, models.PROTECT, null=True, related_name="units")
    warranty_until = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["part", "serial"], name="serial_once_per_part")]

    def __str__(self):
        return f"{self.part} no. {self.serial}"
