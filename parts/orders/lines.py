"""The lines of an order and their shares: rows of the orders room, kept beside their orders' own file."""

from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models, transaction
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from parts.catalogue.models import Part
from parts.shelf.counting import counted, shown
from parts.shelf.models import Tray
from parts.workshop import audit
from parts.workshop.refusal import Refused

from .landed import amount
from .sharing import resized
from .standing import LineQuerySet


class OrderLine(models.Model):
    """One part in an order, in the part's unit; shared out to trays."""

    order = models.ForeignKey("parts.Order", models.CASCADE, related_name="lines")
    part = models.ForeignKey(Part, models.PROTECT, related_name="order_lines")
    quantity = models.DecimalField(max_digits=10, decimal_places=3, validators=[MinValueValidator(Decimal("0.001"))])
    unit_price = models.DecimalField(max_digits=14, decimal_places=6, validators=[MinValueValidator(Decimal(0))])
    promised = models.DateField(_("promised for"), null=True, blank=True)
    confirmed_at = models.DateTimeField(null=True, blank=True)  # when the supplier gave the date; else it is reckoned
    weight_kg = models.DecimalField(
        _("weight of one"), max_digits=9, decimal_places=4, null=True, blank=True,
        validators=[MinValueValidator(Decimal("0.0001"))],
    )  # fmt: skip

    objects = LineQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]

    def __str__(self):
        return f"{shown(self.quantity)} × {self.part}"

    @property
    def amount(self):
        """In the supplier's currency, rounded as their invoice does."""
        return amount(self.quantity, self.unit_price, self.order.currency)

    @property
    def weight(self):
        """Of the whole line in kg, or None while nobody weighed one."""
        return None if self.weight_kg is None else self.weight_kg * self.quantity

    @property
    def is_late(self):
        """Something of it is outstanding past its promised date; needs LineQuerySet.with_arrivals."""
        return bool(self.promised and self.outstanding > 0 and self.promised < timezone.localdate())

    def share_out(self, tray, quantity, needed_by=None):
        """Add to a tray's share of this line."""
        share, new = self.shares.get_or_create(tray=tray, defaults={"quantity": quantity, "needed_by": needed_by})
        if not new:
            share.quantity += quantity
            share.needed_by = min(filter(None, [share.needed_by, needed_by]), default=None)
            share.save(update_fields=["quantity", "needed_by"])

    @transaction.atomic
    def change(self, *, quantity, unit_price, by, weight_kg=None):
        """Correct a line of a draft; a larger quantity is for the free shelf, a smaller one leaves it first."""
        check_price(unit_price)
        before = {"quantity": self.quantity, "unit price": self.unit_price}
        with self.order.changing():
            self.quantity, self.unit_price = counted(quantity, self.part.unit), unit_price
            self.weight_kg = weight_kg
            self.save(update_fields=["quantity", "unit_price", "weight_kg"])
            shares = self.shares.in_need_order().values_list("tray_id", "quantity")
            wanted = resized(shares, self.quantity, Tray.free_shelf().pk)
            for tray, share in wanted.items():
                self.shares.update_or_create(tray_id=tray, defaults={"quantity": share})
            self.shares.exclude(tray__in=wanted).delete()
        audit.record(
            by, "changed", f"order {self.order}", before | {"part": self.part.name},
            {"quantity": self.quantity, "unit price": self.unit_price},
        )  # fmt: skip

    @transaction.atomic
    def remove(self, by):
        """Take a line off a draft."""
        with self.order.changing():
            audit.record(by, "removed", f"order {self.order}", {"part": self.part.name, "quantity": self.quantity})
            self.delete()

    def call_off(self, tray, quantity, by, reason=""):
        """The supplier shall not deliver some of what is open for a tray; see calling_off.call_off."""
        from .calling_off import call_off

        call_off(self, tray, quantity, by, reason)

    def reassign(self, tray, other, quantity, by):
        """What is open for one tray shall come for another; see calling_off.reassign."""
        from .calling_off import reassign

        reassign(self, tray, other, quantity, by)

    @transaction.atomic
    def promise(self, day, by):
        """Write down the date the supplier now gives."""
        if self.order.locked().cancelled_at:
            raise Refused(_t("%(order)s is cancelled; nothing more is expected of it.") % {"order": self.order})
        before, self.promised = self.promised, check_promised(day, self.part)
        self.confirmed_at = timezone.now()
        self.save(update_fields=["promised", "confirmed_at"])
        audit.record(
            by, "promised", f"order {self.order}", {"promised": before},
            {"promised": day, "part": self.part.name},
        )  # fmt: skip

    @transaction.atomic
    def weigh(self, weight_kg, by):
        """Write down what one weighs; what came already is costed anew."""
        order = self.order.locked()
        before, self.weight_kg = self.weight_kg, weight_kg
        self.save(update_fields=["weight_kg"])
        order.cost_arrivals()
        audit.record(by, "weighed", f"order {order}", {"kg": before}, {"kg": weight_kg, "part": self.part.name})

    def receive(
        self, quantity, by, *, condition="good", place=None, serials=(), note="", confirm_over=False, photo=None
    ):
        """Take in what came for this line; returns its Arrival. See arriving.receive for what is refused."""
        from .arriving import Came

        came = Came(self.pk, quantity, condition, place, tuple(serials), note, confirm_over, photo)
        return self.order.receive([came], by)[0]


def check_price(price):
    """A price that can be: zero or more, or Refused at its field."""
    if price is None or price < 0:
        raise Refused(_t("Type a price of zero or more."), "unit_price")


def check_promised(day, part):
    """A date to come, or Refused at its field."""
    if day < timezone.localdate():
        raise Refused(
            _t("%(part)s: %(day)s is past; type the day it is expected, today or later.")
            % {"part": part, "day": date_format(day)},
            "promised",
        )
    return day


class ShareQuerySet(models.QuerySet):
    def in_need_order(self):
        """The most pressing share first: by the day it is needed, then as they were made."""
        return self.order_by(models.F("needed_by").asc(nulls_last=True), "pk")


class Share(models.Model):
    """How much of an order line is for which tray, and by when it is needed there."""

    line = models.ForeignKey(OrderLine, models.CASCADE, related_name="shares")
    tray = models.ForeignKey(Tray, models.PROTECT, related_name="shares")
    quantity = models.DecimalField(max_digits=10, decimal_places=3)
    needed_by = models.DateField(_("needed by"), null=True, blank=True)

    objects = ShareQuerySet.as_manager()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["line", "tray"], name="one_share_per_tray")]

    def __str__(self):
        return f"{shown(self.quantity)} for {self.tray}"

    def lessen(self, quantity):
        """Ask for less; a share of nothing is none."""
        self.quantity -= quantity
        if self.quantity:
            self.save(update_fields=["quantity"])
        else:
            self.delete()
