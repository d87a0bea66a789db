import calendar
import datetime
from decimal import Decimal

from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from parts.catalogue.models import Part
from parts.workshop import audit
from parts.workshop.models import Person
from parts.workshop.photos import Photo
from parts.workshop.refusal import Refused

from .carrying import Spot, Step, StockQuerySet
from .counting import shown


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

    @classmethod
    def named(cls, name):
        """The place of this name, whatever its case; made on first use. Refused without a name."""
        name = " ".join((name or "").split())
        if not name:
            raise Refused(_t("Say where it goes, as in “bench” or “box 3”."), "place")
        if len(name) > 60:
            raise Refused(_t("Keep the place's name under 60 letters."), "place")
        return cls.objects.filter(name__iexact=name).first() or cls.objects.get_or_create(name=name)[0]


class Stock(models.Model):
    """How much of a part lies where, for which tray, and whose it is. Never below zero."""

    OURS, CLIENTS = "ours", "client"
    part = models.ForeignKey(Part, models.PROTECT, related_name="stock")
    place = models.ForeignKey(Place, models.PROTECT, related_name="stock")
    tray = models.ForeignKey(Tray, models.PROTECT, related_name="stock")
    owner = models.CharField(max_length=6, choices=[(OURS, _("ours")), (CLIENTS, _("the client's"))], default=OURS)
    quantity = models.DecimalField(max_digits=10, decimal_places=3, default=Decimal(0))

    objects = StockQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["part", "place", "tray", "owner"], name="stock_one_row"),
            models.CheckConstraint(condition=models.Q(quantity__gte=0), name="stock_not_negative"),
        ]

    def __str__(self):
        return f"{shown(self.quantity)} × {self.part} in {self.tray}"

    @property
    def spot(self):
        return Spot(self.tray_id, self.place_id, self.owner)

    @property
    def key(self):
        return self.part_id, self.spot

    @classmethod
    @transaction.atomic
    def put_in(cls, *, part, tray, place, quantity, reason, by, owner=OURS, serials=(), cost=None):
        """Put something into a tray; returns the Move. serials name single items, at most one for each.

        cost: what all of it cost, in the workshop's currency, where that is known; the client's own has none.
        """
        if cost is not None and (owner == cls.CLIENTS or cost < 0):
            raise Refused(_t("Type a cost of zero or more, and only for the workshop's own."), "cost")
        if owner == cls.CLIENTS and tray.is_free_shelf:
            raise Refused(_t("A client's own part belongs in the tray of a job, not on the free shelf."), "tray")
        target = Spot(tray.pk, place.pk, owner)
        (move,) = cls.objects.carry([Step(part, quantity, reason, target=target, cost=cost)], by)
        Unit.enter([(move, tray, serials)])
        return move

    @transaction.atomic
    def move(self, *, quantity, by, reason, tray=None, place=None, units=()):
        """Carry some to another tray (a reservation, a swap) or place as one recorded Move."""
        tray = tray or self.tray
        if self.owner == self.CLIENTS and tray.is_free_shelf:
            raise Refused(_t("This is the client's own; it can go to a job's tray or be given back."), "tray")
        target = Spot(tray.pk, (place or self.place).pk, self.owner)
        (move,) = Stock.objects.carry([Step(self.part, quantity, reason, self.spot, target)], by)
        if tray.pk != self.tray_id:
            Unit.of(self.part, self.tray_id, units, move.quantity).update(tray=tray)
        return move

    @transaction.atomic
    def take_out(self, *, quantity, reason, by, units=()):
        """Take some out of stock for good: used up, broken, given back. Returns the Move."""
        (move,) = Stock.objects.carry([Step(self.part, quantity, reason, self.spot)], by)
        Unit.of(self.part, self.tray_id, units, move.quantity).update(left=move)
        return move

    @transaction.atomic
    def correct(self, *, found, reason, by, units=()):
        """Set the count to what was found lying there; returns the Move."""
        list(Part.objects.select_for_update(no_key=True).filter(pk=self.part_id).values_list("pk"))
        self.refresh_from_db()
        difference = Decimal(found) - self.quantity
        if not difference:
            raise Refused(_t("The book says %(found)s already; nothing to correct.") % {"found": shown(found)}, "found")
        if difference < 0:
            return self.take_out(quantity=-difference, reason=reason, by=by, units=units)
        (move,) = Stock.objects.carry([Step(self.part, difference, reason, target=self.spot)], by)
        return move


class Move(models.Model):
    """One recorded change of stock: in, out or from one row to another."""

    part = models.ForeignKey(Part, models.PROTECT, related_name="moves")
    source = models.ForeignKey(Stock, models.PROTECT, null=True, related_name="moves_out")
    target = models.ForeignKey(Stock, models.PROTECT, null=True, related_name="moves_in")
    quantity = models.DecimalField(max_digits=10, decimal_places=3)
    reason = models.CharField(max_length=120)
    # Landed cost of all of it, in the workshop's currency: of what came in, as far as it is known.
    cost = models.DecimalField(max_digits=14, decimal_places=3, null=True, blank=True)
    person = models.ForeignKey(Person, models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    photos = models.ManyToManyField(Photo, related_name="+")

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [models.CheckConstraint(condition=models.Q(quantity__gt=0), name="move_something")]

    def __str__(self):
        return f"{shown(self.quantity)} × {self.part}: {self.reason}"

    @classmethod
    def came_in(cls, tray, parts):
        """{part id: when the first of it that lies in a tray came to the workshop}; one query.

        Carrying it about is no arrival: what was taken from another tray came with the last arrival before that.
        """
        moves = cls.objects.filter(part__in=parts, target__isnull=False).order_by("pk")
        arrived, found = {}, {}
        for part, source, target, at in moves.values_list("part", "source__tray", "target__tray", "at"):
            if source is None:
                arrived[part] = at
            if target == tray.pk != source:
                found.setdefault(part, arrived.get(part, at))
        return found


class Unit(models.Model):
    """One item with a serial number. left: the move that took it out of stock."""

    part = models.ForeignKey(Part, models.PROTECT, related_name="units")
    serial = models.CharField(_("serial number"), max_length=80)
    tray = models.ForeignKey(Tray, models.PROTECT, related_name="units")
    received = models.ForeignKey(Move, models.PROTECT, null=True, related_name="units")
    left = models.ForeignKey(Move, models.PROTECT, null=True, blank=True, related_name="units_gone")
    warranty_until = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["part", "serial"], name="serial_once_per_part")]

    def __str__(self):
        return f"{self.part} no. {self.serial}"

    @classmethod
    def enter(cls, entries):
        """Write down the serials of what came in. entries: (move, tray, serials), any number of them.

        Raises Refused at `serials` when there are more than pieces, or one is written twice or known already.
        """
        entries = [(move, tray, tidy(serials)) for move, tray, serials in entries]
        if not any(serials for _move, _tray, serials in entries):
            return []
        seen = {(move.part_id, serial) for move, _tray, serials in entries for serial in serials}
        if len(seen) < sum(len(serials) for _move, _tray, serials in entries):
            raise Refused(_t("A serial number is written twice; each item has its own."), "serials")
        known = cls.objects.filter(part__in={part for part, _s in seen}, serial__in={serial for _p, serial in seen})
        for unit in known.select_related("part", "tray"):
            if (unit.part_id, unit.serial) in seen:
                raise Refused(
                    _t("%(part)s with serial number %(serial)s is here already, in %(tray)s.")
                    % {"part": unit.part, "serial": unit.serial, "tray": unit.tray},
                    "serials",
                )
        today = timezone.localdate()
        units = []
        for move, tray, serials in entries:
            if len(serials) > move.quantity:
                raise Refused(
                    _t("%(serials)s serial numbers for %(count)s pieces; leave some out.")
                    % {"serials": len(serials), "count": shown(move.quantity)},
                    "serials",
                )
            months = move.part.warranty_months
            until = months_later(today, months) if months else None
            units += [cls(part=move.part, serial=s, tray=tray, received=move, warranty_until=until) for s in serials]
        return cls.objects.bulk_create(units)

    @classmethod
    def of(cls, part, tray_id, units, quantity):
        """The units that go along when `quantity` has just left a tray: the ones named, or all when nothing stays.

        Raises Refused at `units` when it cannot tell which.
        """
        here = cls.objects.filter(part=part, tray=tray_id, left=None)
        known = set(here.values_list("pk", flat=True))
        if not known:
            return here
        stay = sum(Stock.objects.filter(part=part, tray=tray_id).values_list("quantity", flat=True))
        named = {unit.pk for unit in units}
        if not named and not stay:
            return here
        if not named <= known or len(named) > quantity or len(known) - len(named) > stay:
            serials = ", ".join(here.order_by("serial").values_list("serial", flat=True)[:8])
            raise Refused(_t("Mark which serial numbers go: %(serials)s.") % {"serials": serials}, "units")
        return here.filter(pk__in=named)

    def correct_serial(self, serial, by):
        """Write the serial number anew, as after a misreading."""
        (serial,) = tidy([serial]) or [""]
        if serial == self.serial:
            return
        if not serial:
            raise Refused(_t("Type the serial number as it stands on the item."), "serial")
        if Unit.objects.filter(part=self.part, serial=serial).exclude(pk=self.pk).exists():
            raise Refused(_t("Another %(part)s has this serial number.") % {"part": self.part}, "serial")
        before, self.serial = self.serial, serial
        self.save(update_fields=["serial"])
        audit.record(by, "corrected", f"unit {self.pk}", {"serial": before}, {"serial": serial})


def tidy(serials):
    """Serial numbers without blanks around them and without empty ones."""
    return [serial.strip()[:80] for serial in serials if serial.strip()]


def months_later(day, months):
    """The same day of the month some months on, or the month's last day.

    >>> months_later(datetime.date(2026, 1, 31), 1)
    datetime.date(2026, 2, 28)
    """
    years, month = divmod(day.month - 1 + months, 12)
    year = day.year + years
    return datetime.date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))
