from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from builds.jobs.models import Job
from builds.labour.models import WorkKind
from builds.sheets.models import Document
from builds.specs.models import Role, SpecVersion
from parts.workshop.models import Person, Versioned
from parts.workshop.numbers import label


class Quote(models.Model):
    """An offer to a client for a job, in numbered issues; a variation is a quote that alters an accepted issue."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="quotes")
    number = models.PositiveIntegerField(unique=True)
    alters = models.ForeignKey("Issue", models.PROTECT, null=True, blank=True, related_name="variations")

    class Meta:
        ordering = ["number"]

    def __str__(self):
        return label("quote", self.number)


class Issue(Versioned):
    """One numbered version of a quote: editable while drafted, frozen with its PDF once sent."""

    class State(models.TextChoices):
        DRAFTED = "drafted", _("drafted")
        SENT = "sent", _("sent")
        ACCEPTED = "accepted", _("accepted")
        DECLINED = "declined", _("declined")
        LAPSED = "lapsed", _("lapsed")
        SUPERSEDED = "superseded", _("superseded")

    quote = models.ForeignKey(Quote, models.PROTECT, related_name="issues")
    number = models.PositiveSmallIntegerField()
    spec = models.ForeignKey(SpecVersion, models.PROTECT, related_name="issues")
    state = models.CharField(max_length=10, choices=State, default=State.DRAFTED)
    currency = models.CharField(max_length=3)
    margin_percent = models.DecimalField(_("margin on parts"), max_digits=5, decimal_places=2)
    valid_until = models.DateField(_("valid until"), null=True, blank=True)
    promise = models.DateField(_("promise"), null=True, blank=True)
    texts = models.JSONField(default=dict)
    net = models.DecimalField(max_digits=14, decimal_places=3, null=True)
    tax = models.DecimalField(max_digits=14, decimal_places=3, null=True)
    total = models.DecimalField(max_digits=14, decimal_places=3, null=True)
    document = models.ForeignKey(Document, models.PROTECT, null=True, blank=True, related_name="+")
    sent_at = models.DateTimeField(null=True, blank=True)
    decided_at = models.DateTimeField(null=True, blank=True)
    decided_by = models.CharField(_("decided by"), max_length=120, blank=True)

    class Meta:
        ordering = ["quote", "number"]
        constraints = [
            models.UniqueConstraint(fields=["quote", "number"], name="issue_once"),
            models.UniqueConstraint(fields=["quote"], condition=models.Q(state="accepted"), name="one_acceptance"),
        ]

    def __str__(self):
        return f"{self.quote} issue {self.number}"


class IssueLine(models.Model):
    """One line of an issue, with all that its amount rests on."""

    PART, LABOUR, OTHER = "part", "labour", "other"
    issue = models.ForeignKey(Issue, models.CASCADE, related_name="lines")
    kind = models.CharField(max_length=6, choices=[(PART, _("part")), (LABOUR, _("work")), (OTHER, _("other"))])
    role = models.ForeignKey(Role, models.PROTECT, null=True, blank=True, related_name="+")
    work_kind = models.ForeignKey(WorkKind, models.PROTECT, null=True, blank=True, related_name="+")
    position = models.PositiveSmallIntegerField(default=0)
    text = models.CharField(_("text"), max_length=200)
    remark = models.CharField(_("remark"), max_length=200, blank=True)
    quantity = models.DecimalField(_("quantity"), max_digits=10, decimal_places=3, default=Decimal(1))
    unit = models.CharField(max_length=6, default="each")
    unit_cost = models.DecimalField(_("cost each"), max_digits=14, decimal_places=6, null=True, blank=True)
    unit_price = models.DecimalField(_("price each"), max_digits=14, decimal_places=6, default=Decimal(0))
    tax_category = models.CharField(max_length=1, default="S")
    tax_percent = models.DecimalField(max_digits=6, decimal_places=3, default=Decimal(0))
    amount = models.DecimalField(max_digits=14, decimal_places=3, default=Decimal(0))
    by_hand = models.BooleanField(default=False, help_text=_("Its price was typed, not computed."))

    class Meta:
        ordering = ["position", "pk"]

    def __str__(self):
        return self.text


class StagePayment(models.Model):
    """A part of the total that falls due at a time of the job."""

    BASIS = [
        ("percent", _("per cent of the total")),
        ("parts", _("the cost of all parts")),
        ("fixed", _("a fixed amount")),
        ("rest", _("the rest")),
    ]
    DUE = [
        ("acceptance", _("with acceptance")),
        ("bench", _("before bench work")),
        ("handover", _("before hand-over")),
    ]
    issue = models.ForeignKey(Issue, models.CASCADE, related_name="stage_payments")
    position = models.PositiveSmallIntegerField(default=0)
    name = models.CharField(_("name"), max_length=60)
    basis = models.CharField(_("basis"), max_length=8, choices=BASIS, default="percent")
    value = models.DecimalField(
        _("value"),
        max_digits=12,
        decimal_places=2,
        default=Decimal(0),
        validators=[MinValueValidator(Decimal(0))],
    )
    due = models.CharField(_("due"), max_length=10, choices=DUE, default="acceptance")
    amount = models.DecimalField(max_digits=14, decimal_places=3, null=True)

    class Meta:
        ordering = ["position", "pk"]

    def __str__(self):
        return self.name


class Bill(models.Model):
    """A frozen, numbered demand for money."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="bills")
    number = models.PositiveIntegerField(unique=True)
    stage_payment = models.OneToOneField(StagePayment, models.PROTECT, null=True, blank=True, related_name="bill")
    amount = models.DecimalField(max_digits=14, decimal_places=3)
    issued_on = models.DateField(default=timezone.localdate)
    due_on = models.DateField()

    class Meta:
        ordering = ["number"]

    def __str__(self):
        return label("bill", self.number)


class Payment(models.Model):
    """Money received for a bill."""

    bill = models.ForeignKey(Bill, models.PROTECT, related_name="payments")
    amount = models.DecimalField(_("amount"), max_digits=14, decimal_places=3)
    received_on = models.DateField(_("received on"), default=timezone.localdate)
    note = models.CharField(_("note"), max_length=120, blank=True)
    person = models.ForeignKey(Person, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["received_on", "pk"]

    def __str__(self):
        return f"{self.amount} for {self.bill}"
