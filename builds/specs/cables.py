"""The cable book: cables of a spec, the pin-out maps of supplies, and the wires that were rung through."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from builds.checks.wire import CONNECTORS
from parts.catalogue.models import Part
from parts.workshop import audit
from parts.workshop.models import Person
from parts.workshop.refusal import Refused

from .cut_list import ALLOWANCE_MM, counted, cut_list, faults, signal_said, totals

# What, once changed, makes a wire that was rung through another wire.
MAKES_IT = {"supply", "supply_connector", "device", "device_connector", "awg", "routed_mm"}


class PinOut(models.Model):
    """Which pin of this very supply each pin of a device's connector goes to: measured once, then signed."""

    part = models.ForeignKey(Part, models.CASCADE, related_name="pin_outs")
    supply_connector = models.CharField(_("connector at the supply"), max_length=20)
    device_connector = models.CharField(_("connector at the device"), max_length=20)
    pins = models.JSONField(default=dict, help_text="{device pin: supply pin}, both as text.")
    signed_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    signed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["part", "supply_connector", "device_connector"]
        constraints = [
            models.UniqueConstraint(fields=["part", "supply_connector", "device_connector"], name="pin_out_once")
        ]

    def __str__(self):
        return f"{self.part}: {self.supply_connector} → {self.device_connector}"

    @property
    def map(self):
        """{device pin: supply pin} with the device's pins as numbers."""
        return {int(pin): there for pin, there in self.pins.items() if there}

    @transaction.atomic
    def fill(self, pins, by):
        """Note the map {device pin: supply pin}; another map than before wants a new signature."""
        stored = {str(pin): there for pin, there in pins.items() if there}
        if stored == self.pins and self.pk:
            return
        before, self.pins, self.signed_by, self.signed_at = self.pins, stored, None, None
        self.save()
        audit.record(by, "pin-out filled in", f"pin-out {self}", before, stored)

    @transaction.atomic
    def sign(self, by):
        """Vouch for the map. Raises Refused while a pin is empty or one supply pin carries two signals."""
        wrong = faults(self.device_connector, self.map)
        empty = [str(pin) for pin, why in wrong.items() if why == "empty"]
        if empty:
            raise Refused(_t("No pin at the supply is given yet for %(pins)s; measure and fill in.")
                          % {"pins": ", ".join(empty)})  # fmt: skip
        if wrong:
            pin, other = next(iter(wrong.items()))
            signal = CONNECTORS[self.device_connector].pins[pin - 1]
            raise Refused(
                _t("Pin %(there)s of the supply is said to carry %(one)s and %(other)s. One of them is wrong: measure.")
                % {"there": self.map[pin], "one": signal_said(other), "other": signal_said(signal)},
                f"pin_{pin}",
            )
        self.signed_by, self.signed_at = by, timezone.now()
        self.save()
        audit.record(by, "pin-out signed", f"pin-out {self}", after=self.pins)


class CableQuerySet(models.QuerySet):
    def with_everything(self):
        return self.select_related("spec", "supply", "device").prefetch_related("tests__person")


class Cable(models.Model):
    """A cable made for one machine. Measured on the bench: so it may change after its spec is frozen."""

    spec = models.ForeignKey("builds.SpecVersion", models.CASCADE, related_name="cables")
    name = models.CharField(_("name"), max_length=60)
    supply = models.ForeignKey("builds.Role", models.PROTECT, related_name="+", verbose_name=_("power supply"))
    supply_connector = models.CharField(_("connector at the supply"), max_length=20)
    device = models.ForeignKey("builds.Role", models.PROTECT, related_name="+", verbose_name=_("feeds"))
    device_connector = models.CharField(_("connector at the device"), max_length=20)
    awg = models.PositiveSmallIntegerField(_("wire gauge, AWG"), null=True, blank=True)
    colour = models.CharField(_("colour"), max_length=30, blank=True)
    routed_mm = models.FloatField(
        _("routed length"), null=True, blank=True, validators=[MinValueValidator(10), MaxValueValidator(5000)]
    )
    bend_mm = models.FloatField(_("straight behind the 16-pin plug"), null=True, blank=True)
    sense_w = models.PositiveSmallIntegerField(_("sense rating"), null=True, blank=True)

    objects = CableQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [models.UniqueConstraint(fields=["spec", "name"], name="cable_once_per_spec")]

    def __str__(self):
        return self.name

    @property
    def length_mm(self):
        """What its wires are cut to, or None before it is routed."""
        return None if self.routed_mm is None else self.routed_mm + ALLOWANCE_MM

    def pin_out_in(self, lines):
        """The pin-out map for it among a spec's lines (parts with their pin_outs fetched), or None."""
        part = next((line.part for line in lines if line.role_id == self.supply_id), None)
        keys = (self.supply_connector, self.device_connector)
        found = part.pin_outs.all() if part else ()
        return next((one for one in found if (one.supply_connector, one.device_connector) == keys), None)

    def wires(self, pin_out):
        """Its cut list; empty without a signed pin-out, a gauge and a routed length: a wrong one kills hardware."""
        if pin_out is None or not pin_out.signed_at or self.awg is None or self.routed_mm is None:
            return []
        return cut_list(self.device_connector, pin_out.map, self.awg, self.routed_mm, self.colour)

    def takes(self, pin_out):
        """The Totals to buy it by; without a signed pin-out each pin counts as a wire with two terminals."""
        wires = self.wires(pin_out)
        if not wires and self.device_connector in CONNECTORS and None not in (self.awg, self.routed_mm):
            wires = counted(self.device_connector, self.awg, self.routed_mm, self.colour)
        return totals([wires])

    @transaction.atomic
    def alter(self, by, **values):
        """Change the cable; what was rung through is forgotten once it is another cable. Makes it when it is new."""
        taken = Cable.objects.filter(spec=self.spec_id, name__iexact=values["name"]).exclude(pk=self.pk)
        if taken.exists():
            raise Refused(_t("“%(name)s” is there already; choose another name.") % {"name": values["name"]}, "name")
        before = {name: getattr(self, name) for name in values} if self.pk else {}
        changed = {name: value for name, value in values.items() if before.get(name) != value}
        for name, value in values.items():
            setattr(self, name, value)
        self.save()
        if before and MAKES_IT & set(changed):
            self.tests.all().delete()
        if changed:
            was = {name: str(before.get(name)) for name in changed} if before else None
            said = {"cable": self.name, **{name: str(value) for name, value in changed.items()}}
            audit.record(by, "cable changed" if before else "cable added", f"spec {self.spec}", was, said)
        return self

    def copy_into(self, spec):
        """This cable in another version, with the wires that were rung through."""
        tests = list(self.tests.all())
        values = {f.attname: getattr(self, f.attname) for f in self._meta.concrete_fields if not f.primary_key}
        copied = Cable.objects.create(**{**values, "spec_id": spec.pk})
        WireTest.objects.bulk_create(
            WireTest(cable=copied, **{name: getattr(test, name) for name in WireTest.COPIED}) for test in tests
        )
        return copied

    @transaction.atomic
    def remove(self, by):
        audit.record(by, "cable removed", f"spec {self.spec}", before={"cable": self.name})
        self.delete()

    def tested(self, pin_out):
        """{device pin: its WireTest} of the wires that were rung through between the very pins that they join now.

        A test done by another map, or on another supply, says nothing about this wire and counts no more.
        """
        if pin_out is None:
            return {}
        joins = pin_out.map
        return {
            test.pin: test
            for test in self.tests.all()
            if test.pin_out_id == pin_out.pk and test.supply_pin == joins.get(test.pin)
        }

    @transaction.atomic
    def ring_through(self, pins, pin_out, by):
        """Note that the wires at these device pins were rung through: end to end, and to no other pin."""
        joins = {wire.pin: wire.supply_pin for wire in self.wires(pin_out)}
        fresh = sorted((joins.keys() - self.tested(pin_out).keys()) & set(pins))
        self.tests.filter(pin__in=fresh).delete()
        WireTest.objects.bulk_create(
            WireTest(cable=self, pin=pin, pin_out=pin_out, supply_pin=joins[pin], person=by) for pin in fresh
        )
        if fresh:
            audit.record(by, "wires rung through", f"spec {self.spec}", after={"cable": self.name, "pins": fresh})
        return fresh


class WireTest(models.Model):
    """A wire of a cable that has continuity from end to end, and to no other pin.

    pin: at the device. pin_out, supply_pin: the map it was made by and the pin there; see Cable.tested.
    """

    COPIED = ("pin", "pin_out_id", "supply_pin", "person_id", "at")

    cable = models.ForeignKey(Cable, models.CASCADE, related_name="tests")
    pin = models.PositiveSmallIntegerField()
    pin_out = models.ForeignKey(PinOut, models.SET_NULL, null=True, related_name="+")
    supply_pin = models.CharField(max_length=4, blank=True)
    person = models.ForeignKey(Person, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["pin"]
        constraints = [models.UniqueConstraint(fields=["cable", "pin"], name="wire_tested_once")]

    def __str__(self):
        return f"{self.cable}: {self.pin}"
