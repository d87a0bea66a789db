"""What came: rows of the orders room, kept beside their orders' own file."""

from decimal import Decimal

from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from parts.shelf.carrying import Step
from parts.shelf.counting import shown
from parts.shelf.models import Move, Stock, Unit
from parts.workshop import audit
from parts.workshop.models import Person
from parts.workshop.photos import Photo
from parts.workshop.refusal import Refused

from .returns import ReturnCase

__all__ = ["Arrival", "ReturnCase"]


class ArrivalQuerySet(models.QuerySet):
    def standing(self):
        """Arrivals that count: not taken back."""
        return self.filter(undone_at=None)


class Arrival(models.Model):
    """Something that came for an order line: how many, in what condition. Short: the supplier's note lists it, but it
    was not in the parcel; it stays outstanding."""

    GOOD, DAMAGED, WRONG = "good", "damaged", "wrong"
    SHORT = "short"
    BAD = [DAMAGED, WRONG]
    CONDITIONS = [
        (GOOD, _("good")),
        (DAMAGED, _("damaged")),
        (WRONG, _("wrong item")),
        (SHORT, _("short, not in the parcel")),
    ]
    line = models.ForeignKey("parts.OrderLine", models.PROTECT, related_name="arrivals")
    quantity = models.DecimalField(max_digits=10, decimal_places=3)
    condition = models.CharField(max_length=8, default=GOOD, choices=CONDITIONS)
    moves = models.ManyToManyField(Move, related_name="arrivals")
    photos = models.ManyToManyField(Photo, related_name="+")
    note = models.CharField(max_length=200, blank=True)
    at = models.DateTimeField(default=timezone.now)
    person = models.ForeignKey(Person, models.PROTECT, related_name="+")
    undone_at = models.DateTimeField(null=True, blank=True)

    objects = ArrivalQuerySet.as_manager()

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self):
        return f"{shown(self.quantity)} {self.get_condition_display()}: {self.line.part}"

    @property
    def is_bad(self):
        return self.condition in self.BAD

    @transaction.atomic
    def undo(self, by):
        """Take back a slip of the thumb: the pieces leave the trays, the line is outstanding again.

        Refused when it was undone already, the pieces have been moved on, or their return is on its way.
        """
        order = self.line.order.locked()
        now = Arrival.objects.get(pk=self.pk)
        if now.undone_at:
            raise Refused(_t("This arrival was taken back already."))
        if self.returns.exclude(state=ReturnCase.OPEN).exists():
            raise Refused(_t("Its return is on its way already; go on from the list of returns."))
        moves = list(self.moves.select_related("part", "target"))
        reason = _t("taken back on %(order)s") % {"order": order}
        steps = [Step(m.part, m.quantity, reason, source=m.target.spot, cost=Decimal(0)) for m in moves]
        Stock.objects.carry(steps, by)
        Move.objects.filter(pk__in=[move.pk for move in moves]).update(cost=0)  # it never came, so it cost nothing
        Unit.objects.filter(received__in=moves).delete()
        self.returns.all().delete()
        self.moves.clear()
        self.undone_at = timezone.now()
        self.save(update_fields=["undone_at"])
        order.cost_arrivals()
        order.take_lessons()
        audit.record(by, "took back", f"order {order}", {"arrival": str(self)})
