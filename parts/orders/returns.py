"""What goes back: rows of the orders room, kept beside their orders' own file."""

from decimal import Decimal

from django.db import models, transaction
from django.db.models import Sum
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from parts.catalogue.models import Part
from parts.shelf.counting import shown
from parts.shelf.models import Move, Stock, Tray
from parts.suppliers.models import Supplier
from parts.workshop import audit
from parts.workshop.refusal import Refused


class ReturnQuerySet(models.QuerySet):
    def open(self):
        return self.filter(state__in=[ReturnCase.OPEN, ReturnCase.SENT])

    def credits_by_tray(self, trays):
        """{tray id: what suppliers credited for parts that had come for it}, in the workshop's currency."""
        rows = self.filter(tray__in=trays, credit__isnull=False).order_by().values("tray").annotate(sum=Sum("credit"))
        return dict(rows.values_list("tray", "sum"))


class ReturnCase(models.Model):
    """An item on its way back to who sold it, until credited, replaced or written off.

    Opened at goods in for a damaged or wrong item (`arrival`): credited or written off, the order expects no other;
    replaced, another is outstanding on it until it comes. Opened for a part found bad later or not needed any more
    (`move`, which took it out of stock): its replacement is a line of an order of its own.
    """

    OPEN, SENT, CREDITED, REPLACED, WRITTEN_OFF = "open", "sent", "credited", "replaced", "written off"
    STATES = [
        (OPEN, _("to send back")),
        (SENT, _("sent back")),
        (CREDITED, _("credited")),
        (REPLACED, _("replaced")),
        (WRITTEN_OFF, _("written off")),
    ]
    CLOSED = [CREDITED, REPLACED, WRITTEN_OFF]
    NEXT = {OPEN: [SENT, *CLOSED], SENT: CLOSED, CREDITED: [], REPLACED: [], WRITTEN_OFF: []}
    # Nothing more comes for a line in these states.
    SETTLED = [CREDITED, WRITTEN_OFF]
    DAMAGED, WRONG, FAULTY, UNWANTED = "damaged", "wrong", "faulty", "unwanted"
    REASONS = [
        (DAMAGED, _("came damaged")),
        (WRONG, _("the wrong item came")),
        (FAULTY, _("found faulty")),
        (UNWANTED, _("not needed any more")),
    ]
    GOODS_IN, BENCH, SOAK, AFTER = "goods in", "bench", "soak", "after"
    FOUND = [
        (GOODS_IN, _("at goods in")),
        (BENCH, _("on the bench")),
        (SOAK, _("in a test")),
        (AFTER, _("after hand-over")),
    ]
    part = models.ForeignKey(Part, models.PROTECT, related_name="returns")
    quantity = models.DecimalField(max_digits=10, decimal_places=3)
    supplier = models.ForeignKey(Supplier, models.PROTECT, null=True, blank=True, related_name="returns")
    arrival = models.ForeignKey("parts.Arrival", models.PROTECT, null=True, blank=True, related_name="returns")
    move = models.OneToOneField(Move, models.PROTECT, null=True, blank=True, related_name="return_case")
    tray = models.ForeignKey(Tray, models.PROTECT, null=True, blank=True, related_name="returns")
    replacement = models.ForeignKey("parts.OrderLine", models.SET_NULL, null=True, blank=True, related_name="replaces")
    reason = models.CharField(_("reason"), max_length=8, choices=REASONS, default=DAMAGED)
    found = models.CharField(_("found"), max_length=8, choices=FOUND, default=GOODS_IN)
    state = models.CharField(max_length=11, default=OPEN, choices=STATES)
    credit = models.DecimalField(_("credit"), max_digits=12, decimal_places=3, null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)
    opened_at = models.DateTimeField(default=timezone.now)
    closed_at = models.DateTimeField(null=True, blank=True)

    objects = ReturnQuerySet.as_manager()

    class Meta:
        ordering = ["-opened_at", "-pk"]

    def __str__(self):
        return f"{shown(self.quantity)} × {self.part}, {self.get_reason_display()}"

    @classmethod
    @transaction.atomic
    def open_for(cls, stock, *, quantity, by, reason=FAULTY, found=BENCH, note="", units=()):
        """Take some of our own stock out to send it back; the case names who sold it, as far as that is known."""
        if stock.owner != Stock.OURS:
            raise Refused(_t("This is the client's own; it is given back to him, not returned to a supplier."))
        said = dict(cls.REASONS)[reason]
        move = stock.take_out(quantity=quantity, reason=f"{said}: {note}" if note else str(said), by=by, units=units)
        case = cls.objects.create(
            part=stock.part, quantity=move.quantity, move=move, tray=stock.tray, reason=reason, found=found,
            note=note[:200], supplier=cls._seller(stock, move),
        )  # fmt: skip
        after = {"part": stock.part.name, "quantity": move.quantity, "tray": stock.tray.name, "found": found}
        audit.record(by, "opened", f"return {case.pk}", after=after | {"reason": reason, "note": note})
        return case

    @staticmethod
    def _seller(stock, move):
        """Who sold it: by its serial number if it has one, else the last to bring this part, to this tray first."""
        arrivals = ReturnCase._meta.get_field("arrival").related_model.objects.standing()
        unit = move.units_gone.first()
        exact = arrivals.filter(moves=unit.received_id).first() if unit and unit.received_id else None
        bought = arrivals.filter(line__part=stock.part, condition="good")
        found = exact or bought.filter(moves__target__tray=stock.tray).first() or bought.first()
        return found.line.order.supplier if found else None

    @property
    def is_closed(self):
        return not self.NEXT[self.state]

    @property
    def order(self):
        """The order it came on, for what was found at goods in; else None."""
        return self.arrival.line.order if self.arrival_id else None

    @property
    def next_states(self):
        return [(key, word) for key, word in self.STATES if key in self.NEXT[self.state]]

    @transaction.atomic
    def move_on(self, state, by, note="", credit=None):
        """Sent back, credited, replaced or written off; a closed return stays closed.

        credit: what the supplier gives for it, in the workshop's currency; only with credited.
        """
        if self.arrival_id:  # first the order, as everybody does: the arrival may be taken back just now
            self.order.locked()
        now = ReturnCase.objects.select_for_update(no_key=True).filter(pk=self.pk).first()
        if now is None:
            raise Refused(_t("Its arrival was taken back meanwhile, and this return with it."))
        if state not in self.NEXT[now.state]:
            raise Refused(
                _t("This return is %(state)s; it cannot become %(wish)s.")
                % {"state": now.get_state_display(), "wish": dict(self.STATES).get(state, state)},
                "state",
            )
        if credit is not None and (state != self.CREDITED or credit < 0):
            raise Refused(_t("Type a credit of zero or more, and only for what was credited."), "credit")
        if state in self.SETTLED and self.arrival_id:
            self._check_settled()
        self.state, self.credit, self.note = state, credit, (note or now.note)[:200]
        self.closed_at = timezone.now() if self.is_closed else None
        self.save(update_fields=["state", "credit", "note", "closed_at"])
        audit.record(
            by, state, f"return {self.pk}", {"state": now.state},
            {"state": state, "part": self.part.name, "credit": credit},
        )  # fmt: skip

    def _check_settled(self):
        """Only what is still outstanding can end without another: where one came already, this one was replaced."""
        line = type(self.arrival.line).objects.with_arrivals().get(pk=self.arrival.line_id)
        if self.quantity > line.outstanding:
            raise Refused(
                _t("Only %(open)s of this line are outstanding, so another came for it: mark it replaced.")
                % {"open": shown(line.outstanding)},
                "state",
            )

    @transaction.atomic
    def replace_by(self, line, by):
        """Name the order line that brings another."""
        self.replacement = line
        self.save(update_fields=["replacement"])
        audit.record(by, "ordered another", f"return {self.pk}", after={"order": str(line.order), "line": str(line)})

    @property
    def worth(self):
        """Credit or nothing, for sums."""
        return self.credit or Decimal(0)
