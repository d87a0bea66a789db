"""What came, and what goes back: rows of the orders room, kept beside their orders' own file."""

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
from parts.workshop.refusal import Refused


class ArrivalQuerySet(models.QuerySet):
    def standing(self):
        """Arrivals that count: not taken back."""
        return self.filter(undone_at=None)


class Arrival(models.Model):
    """Something that came for an order line: how many, in what condition."""

    GOOD, DAMAGED, WRONG = "good", "damaged", "wrong"
    CONDITIONS = [(GOOD, _("good")), (DAMAGED, _("damaged")), (WRONG, _("wrong item"))]
    line = models.ForeignKey("parts.OrderLine", models.PROTECT, related_name="arrivals")
    quantity = models.DecimalField(max_digits=10, decimal_places=3)
    condition = models.CharField(max_length=8, default=GOOD, choices=CONDITIONS)
    moves = models.ManyToManyField(Move, related_name="arrivals")
    note = models.CharField(max_length=200, blank=True)
    at = models.DateTimeField(default=timezone.now)
    person = models.ForeignKey(Person, models.PROTECT, related_name="+")
    undone_at = models.DateTimeField(null=True, blank=True)

    objects = ArrivalQuerySet.as_manager()

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self):
        return f"{shown(self.quantity)} {self.get_condition_display()}: {self.line.part}"

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
        audit.record(by, "took back", f"order {order}", {"arrival": str(self)})


class ReturnCase(models.Model):
    """A damaged or wrong item on its way back, until credited or replaced.

    Credited: the order expects no other. Replaced: another is still outstanding on the order until it comes.
    """

    OPEN, SENT, CREDITED, REPLACED = "open", "sent", "credited", "replaced"
    STATES = [
        (OPEN, _("to send back")),
        (SENT, _("sent back")),
        (CREDITED, _("credited")),
        (REPLACED, _("replaced")),
    ]
    NEXT = {OPEN: [SENT, CREDITED, REPLACED], SENT: [CREDITED, REPLACED], CREDITED: [], REPLACED: []}
    arrival = models.ForeignKey(Arrival, models.PROTECT, related_name="returns")
    state = models.CharField(max_length=9, default=OPEN, choices=STATES)
    note = models.CharField(max_length=200, blank=True)
    opened_at = models.DateTimeField(default=timezone.now)
    closed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-opened_at"]

    def __str__(self):
        return f"return of {self.arrival}"

    @property
    def is_closed(self):
        return not self.NEXT[self.state]

    @property
    def next_states(self):
        return [(key, word) for key, word in self.STATES if key in self.NEXT[self.state]]

    @transaction.atomic
    def move_on(self, state, by, note=""):
        """Sent back, credited or replaced; a closed return stays closed."""
        self.arrival.line.order.locked()  # first the order, as everybody does: the arrival may be taken back just now
        now = ReturnCase.objects.select_for_update(no_key=True).filter(pk=self.pk).first()
        if now is None:
            raise Refused(_t("Its arrival was taken back meanwhile, and this return with it."))
        if state not in self.NEXT[now.state]:
            raise Refused(
                _t("This return is %(state)s; it cannot become %(wish)s.")
                % {"state": now.get_state_display(), "wish": dict(self.STATES).get(state, state)},
                "state",
            )
        if state == self.CREDITED:
            self._check_credit()
        self.state, self.note = state, (note or now.note)[:200]
        self.closed_at = timezone.now() if self.is_closed else None
        self.save(update_fields=["state", "note", "closed_at"])
        order = self.arrival.line.order
        audit.record(by, state, f"return {self.pk}", {"state": now.state}, {"state": state, "order": str(order)})

    def _check_credit(self):
        """Only what is still outstanding can be credited: where another came already, this one was replaced."""
        line = type(self.arrival.line).objects.with_arrivals().get(pk=self.arrival.line_id)
        if self.arrival.quantity > line.outstanding:
            raise Refused(
                _t("Only %(open)s of this line are outstanding, so another came for it: mark it replaced.")
                % {"open": shown(line.outstanding)},
                "state",
            )
