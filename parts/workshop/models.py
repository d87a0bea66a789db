import base64
import secrets
import zoneinfo
from decimal import Decimal

from django.contrib.auth.models import AbstractUser, UserManager
from django.core.exceptions import ValidationError
from django.core.files.storage import default_storage
from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import IntegrityError, models, transaction
from django.db.models import F
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from .refusal import AlreadyDone, Refused


class Versioned(models.Model):
    """A row that people edit: its version tells a form whether somebody was faster."""

    version = models.PositiveIntegerField(default=1, editable=False)

    class Meta:
        abstract = True


class PersonManager(UserManager):
    def create_superuser(self, *args, **fields):
        """The first person, made by `manage.py createsuperuser`, is the owner: else nobody could open the settings."""
        return super().create_superuser(*args, **{"role": Person.OWNER, **fields})

    def check_owner_left(self):
        """Refuse a change that would leave nobody who can open prices and settings; inside its transaction."""
        if not self.filter(role=Person.OWNER, is_active=True).exists():
            raise Refused(_("Nobody would be left as owner; make somebody else owner first."), "role")


class Person(AbstractUser):
    """Somebody who works here: the owner sees everything, the workshop role no prices or client contact."""

    OWNER, WORKSHOP = "owner", "workshop"
    role = models.CharField(
        _("role"), max_length=10, choices=[(OWNER, _("owner")), (WORKSHOP, _("workshop"))], default=WORKSHOP
    )

    objects = PersonManager()

    @property
    def is_owner(self):
        return self.role == self.OWNER

    def __str__(self):
        return self.get_full_name() or self.username


def _check_time_zone(value):
    if value not in zoneinfo.available_timezones():
        raise ValidationError(_("“%(value)s” is no time zone; write it as in Europe/London."), params={"value": value})


def _check_region(value):
    import holidays

    country, _dash, part = value.partition("-")
    known = holidays.list_supported_countries(include_aliases=False)
    if country not in known or (part and part not in known[country]):
        raise ValidationError(
            _("No holidays are known for “%(value)s”; write a country or its part as in DE, DE-BY or GB-ENG."),
            params={"value": value},
        )


HEX = RegexValidator(r"^#[0-9a-fA-F]{6}$", _("Type a colour as in #9a4f26."))


class Workshop(Versioned):
    """The workshop: one row. Its name and texts stand on documents, its numbers are defaults."""

    name = models.CharField(_("name"), max_length=120, default="Workshop")
    address = models.TextField(_("address"), blank=True)
    country = models.CharField(
        _("country"), max_length=2, blank=True,
        validators=[RegexValidator(r"^[A-Z]{2}$", _("Two capital letters, as in NL (ISO 3166-1)."))],
    )  # fmt: skip
    email = models.EmailField(_("e-mail"), blank=True)
    phone = models.CharField(_("phone"), max_length=40, blank=True)
    tax_number = models.CharField(_("tax number"), max_length=40, blank=True)
    currency = models.CharField(
        _("currency"), max_length=3, default="EUR",
        validators=[RegexValidator(r"^[A-Z]{3}$", _("Three capital letters, as in EUR (ISO 4217)."))],
    )  # fmt: skip
    time_zone = models.CharField(_("time zone"), max_length=60, default="Europe/London", validators=[_check_time_zone])
    logo_sha256 = models.CharField(max_length=64, blank=True)
    tube_colour = models.CharField(_("line under the head"), max_length=7, default="#9a4f26", validators=[HEX])
    rule_colour = models.CharField(_("rules and marks"), max_length=7, default="#226458", validators=[HEX])
    paper = models.CharField(_("paper"), max_length=6, choices=[("a4", "A4"), ("letter", "Letter")], default="a4")
    weekly_hours = models.DecimalField(
        _("bench hours a week"), max_digits=5, decimal_places=1, default=Decimal(30),
        validators=[MinValueValidator(Decimal("0.5")), MaxValueValidator(Decimal(400))],
        help_text=_("All hands together, hours really spent at the bench."),
    )  # fmt: skip
    holidays_of = models.CharField(
        _("public holidays of"), max_length=10, blank=True, validators=[_check_region],
        help_text=_("Country or part of it (ISO 3166), as in DE-BY or GB-ENG; empty for none."),
    )  # fmt: skip
    margin_percent = models.DecimalField(
        _("usual margin on parts"), max_digits=5, decimal_places=2, default=Decimal(15),
        validators=[MinValueValidator(Decimal(0)), MaxValueValidator(Decimal("95"))],
        help_text=_("Per cent of the selling price."),
    )  # fmt: skip
    handling_charge = models.DecimalField(
        _("handling of a part the client brings"), max_digits=10, decimal_places=2, default=Decimal(0),
        validators=[MinValueValidator(Decimal(0))], help_text=_("A line of its own on the quote; 0 for none."),
    )  # fmt: skip
    quote_days = models.PositiveSmallIntegerField(_("days a quote stays valid"), default=14)
    room_warmest_c = models.FloatField(_("warmest room assumed, °C"), default=26.0)
    included_text = models.TextField(_("what is included"), blank=True)
    excluded_text = models.TextField(_("what is not included"), blank=True)
    terms_text = models.TextField(
        _("cancellation, warranty, lead time"), blank=True,
        help_text=_("Local consumer law decides; let somebody who knows it read this once."),
    )  # fmt: skip

    def __str__(self):
        return self.name

    @property
    def logo_path(self):
        return f"logos/{self.logo_sha256}.png"

    @property
    def logo_data(self):
        """The logo as a data address for documents, which fetch nothing; empty without one."""
        if not self.logo_sha256 or not default_storage.exists(self.logo_path):
            return ""
        with default_storage.open(self.logo_path) as stored:
            return "data:image/png;base64," + base64.b64encode(stored.read()).decode()

    @classmethod
    def current(cls):
        """The workshop's row, made on first use."""
        return cls.objects.get_or_create(pk=1)[0]


class TaxRule(models.Model):
    """A rate of tax with the dates it holds; outside any rule's dates no tax is due."""

    # Category codes of EN 16931 (UNCL5305): S standard rate, Z zero rated, E exempt.
    name = models.CharField(_("name"), max_length=60)
    category = models.CharField(
        _("category"), max_length=1, default="S",
        choices=[("S", _("standard rate")), ("Z", _("zero rate")), ("E", _("exempt"))],
    )  # fmt: skip
    percent = models.DecimalField(
        _("per cent"),
        max_digits=6,
        decimal_places=3,
        validators=[MinValueValidator(Decimal(0)), MaxValueValidator(Decimal(100))],
    )
    starts = models.DateField(_("from"))
    ends = models.DateField(_("until"), null=True, blank=True)
    note = models.CharField(_("legal note on documents"), max_length=200, blank=True)

    class Meta:
        ordering = ["-starts", "name"]

    def __str__(self):
        return f"{self.name} {self.percent.normalize():f} %"

    @classmethod
    def on(cls, day):
        """The rule that holds on a day, or None: then no tax is charged."""
        rules = cls.objects.filter(starts__lte=day).filter(models.Q(ends=None) | models.Q(ends__gte=day))
        return rules.order_by("-starts").first()


class Counter(models.Model):
    """The last number given in a series; numbers have no gaps."""

    series = models.CharField(max_length=12, unique=True)
    last = models.PositiveIntegerField(default=0)

    def __str__(self):
        return f"{self.series} {self.last}"

    @classmethod
    def next(cls, series):
        """Take the next number; call it inside the transaction that uses it."""
        cls.objects.get_or_create(series=series)
        row = cls.objects.select_for_update().get(series=series)
        row.last += 1
        row.save(update_fields=["last"])
        return row.last


class Once(models.Model):
    """A form's one-time mark, spent with the change it made: a replay has no second effect."""

    token = models.CharField(max_length=64, unique=True)
    person = models.ForeignKey(Person, models.SET_NULL, null=True, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    def __str__(self):
        return self.token[:8]

    @staticmethod
    def fresh():
        return secrets.token_urlsafe(24)

    @classmethod
    def spend(cls, token, person):
        """Spend a mark inside the caller's transaction; AlreadyDone if it was spent before."""
        if not token or len(token) > 64:
            raise Refused(_("This form came without its one-time mark; open the page again and send it from there."))
        try:
            with transaction.atomic():
                cls.objects.create(token=token, person=person if getattr(person, "pk", None) else None)
        except IntegrityError:
            raise AlreadyDone from None


class AuditEntry(models.Model):
    """Who did what to what, when, and what stood there before and after."""

    at = models.DateTimeField(default=timezone.now, db_index=True)
    person = models.ForeignKey(Person, models.PROTECT, null=True, related_name="+")
    verb = models.CharField(max_length=60)
    about = models.CharField(max_length=80, db_index=True)
    before = models.JSONField(null=True)
    after = models.JSONField(null=True)

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self):
        return f"{self.at:%Y-%m-%d %H:%M} {self.verb} {self.about}"

    @classmethod
    def of(cls, about):
        """All that is recorded of one thing, the oldest first."""
        return cls.objects.filter(about=about).select_related("person").order_by("at", "pk")


def claim_version(row, version):
    """Raise the row's version if it still stands at `version`; False when somebody was faster."""
    taken = type(row).objects.filter(pk=row.pk, version=version).update(version=F("version") + 1)
    if taken:
        row.version = version + 1
    return bool(taken)
