"""Bills and payments: what was asked for, what came in, what is owed."""

from collections import defaultdict
from decimal import Decimal

from django.db import models, transaction
from django.db.models import F, Q, Sum
from django.db.models.functions import Coalesce
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from builds.jobs.models import LIVE, Job, Stage
from builds.sheets.models import Document
from parts.workshop import audit
from parts.workshop.models import Counter, Person
from parts.workshop.money import rounded
from parts.workshop.numbers import label
from parts.workshop.refusal import Refused

from . import bill_paper, billing
from .models import Issue, StagePayment


def accepted(job):
    """The issues a client accepted on a job."""
    return Issue.objects.filter(quote__job=job, state=Issue.State.ACCEPTED)


AMOUNT = models.DecimalField(max_digits=14, decimal_places=3)


class BillQuerySet(models.QuerySet):
    def with_paid(self):
        """Each bill with `paid`, the sum of its payments, or None."""
        return self.annotate(paid=Sum("payments__amount"))

    def amount_due(self, jobs):
        """What each job's client owes today: {job's pk: Decimal}, in two queries whatever the number of jobs.

        Owed is what is billed and not paid, and every stage payment that is due and not billed.
        """
        owed = defaultdict(Decimal)
        for bill in self.filter(job__in=jobs).with_paid():
            owed[bill.job_id] += bill.open
        waiting = StagePayment.objects.agreed(jobs).filter(bill=None).order_by()
        # A board asks for hundreds: plain values of what is read here.
        for job, stage, due, amount in waiting.values_list(
            "issue__quote__job", "issue__quote__job__stage", "due", "amount"
        ):
            if StagePayment.falls_due(due, stage):
                owed[job] += amount
        return dict(owed)

    def after_the_end(self):
        """Jobs over and done of which money is still open; a few queries say how much (amount_due)."""
        unpaid = self.annotate(came=Coalesce(Sum("payments__amount"), Decimal(0), output_field=AMOUNT))
        unbilled = StagePayment.objects.filter(issue__state=Issue.State.ACCEPTED, bill=None).exclude(amount=0)
        owing = Q(pk__in=unpaid.exclude(came=F("amount")).values("job"))
        left = Q(stage=Stage.HANDED_OVER, pk__in=unbilled.values("issue__quote__job"))
        return Job.objects.filter(owing | left).exclude(stage__in=LIVE)


class Bill(models.Model):
    """A frozen, numbered demand for money; numbers have no gaps. Below zero it is money to give back.

    The last stage payment's bill is the final one: all that was agreed, less what was billed. Once it is out, the
    bills of a job come to exactly what was agreed.
    """

    KINDS = [
        (billing.DEPOSIT, _("part payment")),
        (billing.FINAL, _("final bill")),
        (billing.REFUND, _("credit note")),
    ]
    job = models.ForeignKey(Job, models.PROTECT, related_name="bills")
    number = models.PositiveIntegerField(unique=True)
    stage_payment = models.OneToOneField(StagePayment, models.PROTECT, null=True, blank=True, related_name="bill")
    kind = models.CharField(max_length=7, choices=KINDS, default=billing.DEPOSIT)
    currency = models.CharField(max_length=3)
    credits = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="credited_by")
    reason = models.CharField(_("reason"), max_length=200, blank=True)
    document = models.OneToOneField(Document, models.PROTECT, null=True, blank=True, related_name="bill")
    amount = models.DecimalField(max_digits=14, decimal_places=3)
    issued_on = models.DateField(default=timezone.localdate)
    due_on = models.DateField(_("to be paid by"))

    objects = BillQuerySet.as_manager()

    class Meta:
        ordering = ["number"]

    def __str__(self):
        return label("bill", self.number)

    @classmethod
    @transaction.atomic
    def raise_for(cls, stage_payment, by, due_on):
        """Bill a stage payment of an accepted issue, once."""
        job = (
            Job.objects.select_for_update(of=("self",))
            .select_related("client")
            .get(quotes__issues__stage_payments=stage_payment)
        )
        stage = StagePayment.objects.select_related("issue").get(pk=stage_payment.pk)
        if stage.issue.state != Issue.State.ACCEPTED:
            raise Refused(_t("“%(stage)s” is not agreed; only what a client accepted is billed.") % {"stage": stage})
        if billed := cls.objects.filter(stage_payment=stage).first():
            raise Refused(
                _t("“%(stage)s” was billed already, as %(bill)s; nothing was changed.")
                % {"stage": stage, "bill": billed}
            )
        if due_on < timezone.localdate():
            raise Refused(_t("The day to pay by lies in the past; type today or later."), "due_on")
        kind, amount = cls._due_for(job, stage)
        return cls._issue(by, job=job, stage_payment=stage, kind=kind, amount=amount, due_on=due_on,
                          currency=stage.issue.currency)  # fmt: skip

    @classmethod
    def _due_for(cls, job, stage):
        """Kind and amount of a stage payment's bill: the final one asks for all that is agreed and not yet billed."""
        if stage.amount < 0:
            return billing.REFUND, stage.amount
        waiting = StagePayment.objects.agreed([job]).filter(bill=None).exclude(amount=0).exclude(pk=stage.pk)
        if waiting.exists():
            return billing.DEPOSIT, stage.amount
        agreed = accepted(job).aggregate(sum=Sum("total"))["sum"]
        billed = cls.objects.filter(job=job).aggregate(sum=Sum("amount"))["sum"] or Decimal(0)
        left = agreed - billed
        return (billing.FINAL, left) if left >= 0 else (billing.REFUND, left)

    @classmethod
    def _issue(cls, by, **values):
        """Number a bill, freeze its paper and write it down; inside a transaction."""
        bill = cls(number=Counter.next("bill"), **values)
        issues = list(accepted(bill.job).prefetch_related("lines").order_by("decided_at", "pk"))
        data = billing.data_of(bill, issues, list(cls.objects.filter(job=bill.job)))
        bill.document = bill_paper.freeze(data)
        bill.save()
        after = {"job": str(bill.job), "kind": bill.kind, "amount": bill.amount, "sha256": bill.document.sha256}
        audit.record(by, "billed", f"bill {bill}", after=after)
        return bill

    @transaction.atomic
    def give_back(self, by, amount, reason):
        """A credit note over some or all of this bill; the final bill asks for it again unless it is out already."""
        job = Job.objects.select_for_update().select_related("client").get(pk=self.job_id)
        before = self.credited_by.aggregate(sum=Sum("amount"))["sum"] or Decimal(0)
        amount = rounded(amount, self.currency)
        if self.kind == billing.REFUND or not 0 < amount <= self.amount + before:
            raise Refused(
                _t("Of %(bill)s at most %(left)s can be given back; type an amount up to that.")
                % {"bill": self, "left": rounded(max(self.amount + before, Decimal(0)), self.currency)},
                "amount",
            )
        if not reason.strip():
            raise Refused(_t("Type why; it stands on the credit note."), "reason")
        return Bill._issue(
            by, job=job, kind=billing.REFUND, amount=-amount, currency=self.currency,
            credits=self, reason=reason.strip(), due_on=timezone.localdate(),
        )  # fmt: skip

    @property
    def issue(self):
        """The accepted issue whose stage payment it asks for, or None."""
        return self.stage_payment.issue if self.stage_payment else None

    @property
    def open(self):
        """What is not paid of it; needs with_paid()."""
        return self.amount - (self.paid or 0)

    @property
    def is_overdue(self):
        return self.open > 0 and self.due_on < timezone.localdate()

    @transaction.atomic
    def record_payment(self, by, amount, received_on, note=""):
        """Money that came in for this bill, or went out for one below zero; never more than is open."""
        Job.objects.select_for_update().get(pk=self.job_id)
        still, amount = Bill.objects.with_paid().get(pk=self.pk).open, rounded(amount, self.currency)
        if not amount or amount * still <= 0 or abs(amount) > abs(still):
            raise Refused(
                _t("%(bill)s has %(open)s open; type an amount up to that.")
                % {"bill": self, "open": rounded(still, self.currency)},
                "amount",
            )
        if received_on > timezone.localdate():
            raise Refused(_t("That day has not come yet; type the day the money came in."), "received_on")
        payment = self.payments.create(amount=amount, received_on=received_on, note=note, person=by)
        audit.record(by, "paid", f"bill {self}", after={"amount": amount, "received_on": received_on, "note": note})
        return payment


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
