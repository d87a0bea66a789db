import datetime
from contextlib import contextmanager
from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from parts.shelf.counting import counted
from parts.shelf.models import Tray
from parts.suppliers.models import Supplier, SupplierPrice
from parts.workshop import audit
from parts.workshop.models import Counter, Versioned, Workshop
from parts.workshop.numbers import label
from parts.workshop.refusal import Refused

from .arrivals import Arrival, ReturnCase
from .costing import cost_arrivals
from .landed import landed_lines, usual_carriage
from .lead_times import learnt
from .lines import OrderLine, Share, check_price, check_promised
from .standing import OrderQuerySet, State

__all__ = ["Arrival", "Order", "OrderLine", "ReturnCase", "Share", "check_promised"]

VALUE, WEIGHT = "value", "weight"
MEASURES = [(VALUE, _("value")), (WEIGHT, _("weight"))]
CHARGE = {"max_digits": 10, "decimal_places": 2, "default": Decimal(0), "validators": [MinValueValidator(Decimal(0))]}


class Order(Versioned):
    """What was ordered from one supplier. Its state derives from its lines."""

    number = models.PositiveIntegerField(unique=True)
    supplier = models.ForeignKey(Supplier, models.PROTECT, related_name="orders")
    reference = models.CharField(_("supplier's reference"), max_length=80, blank=True)
    currency = models.CharField(_("currency"), max_length=3, default="EUR")
    rate = models.DecimalField(
        _("rate: workshop's currency for one of theirs"), max_digits=14, decimal_places=6, null=True, blank=True,
        default=Decimal(1), validators=[MinValueValidator(Decimal("0.000001"))],
    )  # fmt: skip
    carriage = models.DecimalField(_("carriage"), help_text=_("In the supplier's currency."), **CHARGE)
    import_charges = models.DecimalField(
        _("duty and import charges"), help_text=_("In the workshop's currency."), **CHARGE
    )
    carriage_by = models.CharField(_("carriage shared by"), max_length=6, choices=MEASURES, default=VALUE)
    charges_by = models.CharField(
        _("charges shared by"), max_length=6, choices=MEASURES, default=VALUE,
        help_text=_("Duty goes by value as a rule, a handling fee often by weight."),
    )  # fmt: skip
    made_at = models.DateTimeField(default=timezone.now)
    placed_at = models.DateTimeField(null=True, blank=True)
    cancelled_at = models.DateTimeField(null=True, blank=True)

    objects = OrderQuerySet.as_manager()

    class Meta:
        ordering = ["-number"]

    def __str__(self):
        return label("order", self.number)

    @classmethod
    @transaction.atomic
    def draft(cls, supplier, by):
        """Begin an order; in a foreign currency at the last rate used, or the supplier's usual one if any."""
        order = cls.objects.create(
            number=Counter.next("order"),
            supplier=supplier,
            currency=supplier.currency,
            rate=cls.objects.rates([supplier], Workshop.current().currency)[supplier.pk],
        )
        audit.record(by, "drafted", f"order {order}", after={"supplier": supplier.name})
        return order

    @property
    def state(self):
        """A State, derived by the database (see OrderQuerySet.with_state)."""
        known = self.__dict__.get("standing")
        return State(known or type(self).objects.with_state().values_list("standing", flat=True).get(pk=self.pk))

    @property
    def is_draft(self):
        return self.placed_at is None and self.cancelled_at is None

    def locked(self):
        """The order as it stands now, its row locked until the transaction ends."""
        return type(self).objects.select_for_update(no_key=True).get(pk=self.pk)

    @contextmanager
    def changing(self):
        """Change the lines of a draft: its row is locked, and the carriage follows the goods unless somebody typed it.

        Refused when it is no draft any more.
        """
        now = self.hold_draft()
        follows = now.carriage == now.usual_carriage
        yield
        if follows:
            self.version, self.carriage = now.version + 1, type(self).objects.get(pk=self.pk).usual_carriage
            self.save(update_fields=["carriage", "version"])

    def hold_draft(self):
        """The order as it stands now, its row locked; Refused unless it is still a draft."""
        now = self.locked()
        if not now.is_draft:
            raise Refused(_t("%(order)s is no draft any more; what was ordered stays as it was.") % {"order": self})
        return now

    @property
    def goods(self):
        """What all lines cost, in the supplier's currency."""
        return sum((line.amount for line in self.lines.all()), Decimal(0))

    @property
    def usual_carriage(self):
        return usual_carriage(self.goods, self.supplier.carriage, self.supplier.free_carriage_from)

    def landed(self):
        """{line id: Landed} of all lines, or {} while the rate is not known.

        What goes by weight is shared by value until every line has its weight.
        """
        lines = list(self.lines.all())
        if not self.rate:
            return {}
        weights = None if any(line.weight is None for line in lines) else [line.weight for line in lines]
        costs = landed_lines(
            [line.amount for line in lines],
            rate=self.rate, carriage=self.carriage, charges=self.import_charges, ours=Workshop.current().currency,
            carriage_over=weights if self.carriage_by == WEIGHT else None,
            charges_over=weights if self.charges_by == WEIGHT else None,
        )  # fmt: skip
        return {line.pk: cost for line, cost in zip(lines, costs, strict=True)}

    @property
    def unweighed(self):
        """Lines without a weight while something is to be shared by weight."""
        by_weight = WEIGHT in (self.carriage_by, self.charges_by)
        return [line for line in self.lines.all() if line.weight is None] if by_weight else []

    @transaction.atomic
    def add_line(self, part, quantity, unit_price, by, shares=None, promised=None, weight_kg=None):
        """Put a part on a draft; on the line that has it already at this price, if there is one.

        shares: {tray: (quantity, needed by date or None)}; what they do not take is for the free shelf.
        """
        quantity = counted(quantity, part.unit)
        check_price(unit_price)
        shares = {tray: wish for tray, wish in (shares or {}).items() if wish[0] > 0}
        rest = quantity - sum((wish[0] for wish in shares.values()), Decimal(0))
        if rest < 0:
            raise Refused(_t("The shares are more than the line; raise the quantity."), "quantity")
        if rest:
            shares[Tray.free_shelf()] = (rest, None)
        with self.changing():
            line = self.lines.filter(part=part, unit_price=unit_price).first()
            if line:
                line.quantity, line.weight_kg = line.quantity + quantity, weight_kg or line.weight_kg
                line.save(update_fields=["quantity", "weight_kg"])
            else:
                line = self.lines.create(
                    part=part, quantity=quantity, unit_price=unit_price, promised=promised, weight_kg=weight_kg
                )
            for tray, (part_of_it, needed_by) in shares.items():
                line.share_out(tray, part_of_it, needed_by)
        audit.record(
            by, "added", f"order {self}", after={"part": part.name, "quantity": quantity, "unit price": unit_price}
        )
        return line

    @transaction.atomic
    def place(self, by, promised=None):
        """Place the order. Lines without a promised date get `promised`, or the supplier's lead time from today."""
        self.hold_draft()
        self.refresh_from_db()
        lines = list(self.lines.select_related("part"))
        if not lines:
            raise Refused(_t("%(order)s has no lines; add what to buy first.") % {"order": self})
        if not self.rate:
            raise Refused(
                _t("Type the day's rate for %(currency)s first: what one of it costs in the workshop's currency.")
                % {"currency": self.currency},
                "rate",
            )
        today = timezone.localdate()
        prices = SupplierPrice.objects.filter(supplier=self.supplier).select_related("supplier")
        days = {price.part_id: price.days for price in prices.filter(part__in=[line.part_id for line in lines])}
        for line in lines:
            lead = datetime.timedelta(days=days.get(line.part_id, self.supplier.days))
            line.promised = check_promised(line.promised or promised or today + lead, line.part)
        OrderLine.objects.bulk_update(lines, ["promised"])
        self.placed_at, self.version = timezone.now(), self.version + 1
        self.save(update_fields=["placed_at", "version"])
        self.__dict__.pop("standing", None)
        audit.record(
            by, "placed", f"order {self}", {"state": "drafted"},
            {"state": "placed", "goods": self.goods, "currency": self.currency, "rate": self.rate},
        )  # fmt: skip

    @transaction.atomic
    def cancel(self, by, reason=""):
        """Call the order off; what came already stays here, nothing more is expected."""
        before = self.locked()
        if before.cancelled_at:
            raise Refused(_t("%(order)s is cancelled already.") % {"order": self})
        if before.placed_at and before.state == State.COMPLETE:
            raise Refused(_t("%(order)s came in full; send goods back instead of cancelling.") % {"order": self})
        self._set_cancelled(timezone.now(), by, "cancelled", before, reason)

    @transaction.atomic
    def take_up_again(self, by):
        """Undo a cancellation: the supplier delivers after all."""
        before = self.locked()
        if not before.cancelled_at:
            raise Refused(_t("%(order)s is not cancelled.") % {"order": self})
        self._set_cancelled(None, by, "taken up again", before, "")

    def call_off_if_empty(self, by):
        """Cancel it when nothing is ordered on it any more, its row being locked."""
        if not self.cancelled_at and not self.lines.filter(quantity__gt=0).exists():
            self._set_cancelled(timezone.now(), by, "cancelled", self, "")

    def _set_cancelled(self, at, by, verb, before, reason):
        stood = before.state
        self.cancelled_at, self.version = at, before.version + 1
        self.save(update_fields=["cancelled_at", "version"])
        self.__dict__.pop("standing", None)
        audit.record(by, verb, f"order {self}", {"state": stood}, {"state": self.state, "reason": reason})

    @transaction.atomic
    def confirm(self, by):
        """The supplier confirms the dates as they stand; one that is past needs a new date instead."""
        now = self.locked()
        if now.is_draft or now.cancelled_at:
            raise Refused(_t("%(order)s is not on its way; there is nothing to confirm.") % {"order": self})
        dated = self.lines.filter(confirmed_at=None, promised__gte=timezone.localdate())
        if dated.update(confirmed_at=timezone.now()):
            audit.record(by, "confirmed", f"order {self}", after={"dates": "as they stand"})

    def take_lessons(self):
        """Write what arrivals teach of the supplier's lead time beside it; two queries."""
        found = learnt(OrderLine.objects.days_taken(self.supplier_id))
        said = (found.median, found.most, found.count) if found else (None, None, 0)
        names = ("learnt_median_days", "learnt_most_days", "learnt_from")
        Supplier.objects.filter(pk=self.supplier_id).update(**dict(zip(names, said, strict=True)))

    def cost_arrivals(self):
        """Write what each arrival cost beside its moves; see costing.cost_arrivals."""
        cost_arrivals(self)

    def receive(self, came, by):
        """Take in a delivery; see arriving.receive."""
        from .arriving import receive

        return receive(self, came, by)
