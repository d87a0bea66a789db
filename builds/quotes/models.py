from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models, transaction
from django.utils import timezone
from django.utils.formats import number_format
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from builds.jobs.models import LINE_OF_STAGES, Job, Stage
from builds.labour.patterns import PlanPattern, WorkKind
from builds.sheets.models import Document
from builds.specs.models import Role, SpecVersion
from parts.catalogue.models import Part
from parts.workshop import audit
from parts.workshop.models import Counter, TaxRule, Versioned
from parts.workshop.money import rounded
from parts.workshop.numbers import label
from parts.workshop.refusal import Refused

from . import reckoning
from .deciding import Deciding
from .drafting import Drafting, lock
from .rework import Reworking
from .rules import BASES


class Quote(models.Model):
    """An offer to a client for a job, in numbered issues; a variation is a quote that alters an accepted issue."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="quotes")
    number = models.PositiveIntegerField(unique=True)
    alters = models.ForeignKey("Issue", models.PROTECT, null=True, blank=True, related_name="variations")

    class Meta:
        ordering = ["number"]

    def __str__(self):
        return label("quote", self.number)

    @classmethod
    @transaction.atomic
    def draft(cls, job, spec, by, pattern=None):
        """Draft the next issue of a job's quote: issue 1 from a spec version, later ones from the issue before.

        A job without a plan gets one from `pattern`, or from the workshop's only pattern, so that its hours are known.
        """
        lock(job)
        quote = job.quotes.filter(alters=None).first() or cls.objects.create(job=job, number=Counter.next("quote"))
        if not job.tasks.exists():
            _lay_out_plan(job, spec, pattern, by)
        return quote.next_issue(spec, by)

    @classmethod
    @transaction.atomic
    def vary(cls, job, spec, by):
        """Draft a variation: what a newer spec version changes of what was agreed."""
        lock(job)
        agreed = Issue.objects.agreed_for(job)
        if agreed is None:
            raise Refused(_t("Nothing is agreed on %(job)s yet; make a new issue of its quote.") % {"job": job})
        if spec.number <= agreed.spec.number:
            raise Refused(_t("The agreed spec has not changed; make a new version of it and change that first."))
        if Issue.objects.filter(quote__job=job, quote__alters__isnull=False, state=Issue.State.DRAFTED).exists():
            raise Refused(_t("A variation is being drafted already; send or discard that one first."))
        quote = cls.objects.create(job=job, number=Counter.next("quote"), alters=agreed)
        return quote.next_issue(spec, by)

    def next_issue(self, spec, by):
        """Draft issue n+1; Refused while another is drafted or once one is accepted."""
        before = list(self.issues.order_by("number"))
        for issue in before:
            if issue.state == Issue.State.ACCEPTED:
                raise Refused(_t("%(issue)s is accepted; raise a variation instead.") % {"issue": issue})
            if issue.state == Issue.State.DRAFTED:
                raise Refused(_t("%(issue)s is being drafted already.") % {"issue": issue})
        last = before[-1] if before else None
        made = Issue.begin(self, spec, last)
        audit.record(by, "drafted", f"quote {made}", after={"spec": spec.number, "job": str(self.job)})
        return made


def _lay_out_plan(job, spec, pattern, by):
    from builds.labour.plan import lay_out

    patterns = [pattern] if pattern else list(PlanPattern.objects.all()[:2])
    if len(patterns) == 1:
        lay_out(job, spec, patterns[0], by)


class IssueQuerySet(models.QuerySet):
    def visible_to(self, person):
        """Prices are the owner's business alone."""
        return self if person.is_owner else self.none()

    def agreed_for(self, job):
        """The job's last accepted issue, variations included, or None."""
        return self.filter(quote__job=job, state=Issue.State.ACCEPTED).order_by("-decided_at", "-pk").first()


class Issue(Drafting, Deciding, Reworking, Versioned):
    """One numbered version of a quote: editable while drafted, frozen with its PDF once sent.

    A draft's figures are worked out when looked at; sending stores them, and nothing is worked out again after that.
    """

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
    restock_percent = models.DecimalField(
        _("suppliers keep of what goes back"), max_digits=5, decimal_places=2, default=Decimal(15)
    )
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
    decided_from = models.GenericIPAddressField(null=True, blank=True)  # of a client who decided by his link
    reason = models.CharField(_("reason"), max_length=200, blank=True)

    objects = IssueQuerySet.as_manager()

    class Meta:
        ordering = ["quote", "number"]
        constraints = [
            models.UniqueConstraint(fields=["quote", "number"], name="issue_once"),
            models.UniqueConstraint(fields=["quote"], condition=models.Q(state="accepted"), name="one_acceptance"),
        ]

    def __str__(self):
        return _t("%(quote)s issue %(number)s") % {"quote": self.quote, "number": self.number}

    # what it is

    @property
    def standing(self):
        """Its state as of today: a sent issue whose validity has passed is lapsed."""
        past = self.valid_until and self.valid_until < timezone.localdate()
        return self.State.LAPSED if self.state == self.State.SENT and past else self.State(self.state)

    @property
    def is_draft(self):
        return self.state == self.State.DRAFTED

    @property
    def is_variation(self):
        return self.quote.alters_id is not None

    @property
    def typed_texts(self):
        """The text blocks, without what sending adds."""
        return {name: self.texts.get(name, "") for name in ("included", "excluded", "terms")}

    @property
    def included(self):
        return self.texts.get("included", "")

    @property
    def excluded(self):
        return self.texts.get("excluded", "")

    @property
    def terms(self):
        return self.texts.get("terms", "")

    def figures(self):
        """Its lines, stage payments and sums: see reckoning.Reckoning."""
        lines = list(self.lines.select_related("role"))
        for line in lines:
            line.issue = self
        stages = list(self.stage_payments.all())
        if not self.is_draft:
            return reckoning.stored(self, lines, stages)
        return reckoning.reckon_draft(self, lines, stages, TaxRule.on(timezone.localdate()))


class IssueLine(Versioned):
    """One line of an issue, with all that its amount rests on.

    A laid-out part's price comes from its cost and margin until it is typed (by_hand); sending stores it.
    """

    PART, LABOUR, OTHER = "part", "labour", "other"
    KINDS = [(PART, _("part")), (LABOUR, _("work")), (OTHER, _("other"))]
    issue = models.ForeignKey(Issue, models.CASCADE, related_name="lines")
    kind = models.CharField(max_length=6, choices=KINDS)
    role = models.ForeignKey(Role, models.PROTECT, null=True, blank=True, related_name="+")
    part = models.ForeignKey(Part, models.PROTECT, null=True, blank=True, related_name="+")
    work_kind = models.ForeignKey(WorkKind, models.PROTECT, null=True, blank=True, related_name="+")
    position = models.PositiveSmallIntegerField(default=0)
    text = models.CharField(_("text"), max_length=200)
    remark = models.CharField(_("remark"), max_length=200, blank=True)
    quantity = models.DecimalField(_("quantity"), max_digits=10, decimal_places=3, default=Decimal(1))
    unit = models.CharField(_("unit"), max_length=6, default="each")
    unit_cost = models.DecimalField(_("cost each"), max_digits=14, decimal_places=6, null=True, blank=True)
    rule_basis = models.CharField(max_length=6, blank=True, choices=BASES)  # the workshop's rule for it: see rules.py
    rule_percent = models.DecimalField(max_digits=5, decimal_places=2, null=True)
    rule_said = models.CharField(max_length=120, blank=True)
    own_margin = models.DecimalField(_("its own margin"), max_digits=5, decimal_places=2, null=True, blank=True)
    unit_price = models.DecimalField(_("price each"), max_digits=14, decimal_places=6, default=Decimal(0))
    percent = models.DecimalField(_("per cent of the other lines"), max_digits=5, decimal_places=2, null=True)
    cap = models.DecimalField(_("at most"), max_digits=14, decimal_places=3, null=True)  # of work that is an estimate
    client_supplied = models.BooleanField(default=False)
    tax_category = models.CharField(max_length=1, default="S")
    tax_percent = models.DecimalField(max_digits=6, decimal_places=3, default=Decimal(0))
    amount = models.DecimalField(max_digits=14, decimal_places=3, default=Decimal(0))
    by_hand = models.BooleanField(default=False, help_text=_("Its price was typed, not computed."))
    rework = models.BooleanField(default=False)  # work of a variation that undoes finished tasks: see rework.py

    class Meta:
        ordering = ["position", "pk"]

    def __str__(self):
        return self.text

    @property
    def price_missing(self):
        return self.kind == self.PART and not self.client_supplied and not self.by_hand and self.unit_cost is None

    @property
    def is_laid_out(self):
        """Comes from the spec or the plan, not from a person's own addition."""
        return self.role_id is not None or self.work_kind_id is not None

    @property
    def place(self):
        """What the line is for: its role, if it has one."""
        return self.role.name if self.role_id else ""

    @property
    def beneath(self):
        """What stands under its text: the remark, what its per cent are of, for an estimate how it is settled."""
        return " · ".join(filter(None, [self.remark, self._share, self._settled]))

    @property
    def _share(self):
        if self.percent is None:
            return ""
        said = _t("%(percent)s %% off the other lines") if self.percent < 0 else _t("%(percent)s %% on the other lines")
        return said % {"percent": number_format(abs(self.percent).normalize() + 0)}

    @property
    def _settled(self):
        if self.cap is None:
            return ""
        most = number_format(rounded(self.cap, self.issue.currency), force_grouping=True)
        return _t("an estimate: the hours worked count, at most %(most)s") % {"most": most}

    def copy_for(self, issue):
        """The same line for another issue, unsaved."""
        copied = [
            "kind", "role_id", "part_id", "work_kind_id", "position", "text", "remark", "quantity", "unit", "unit_cost",
            "own_margin", "unit_price", "client_supplied", "by_hand", "rework", "rule_basis", "rule_percent",
            "rule_said", "percent", "cap",
        ]  # fmt: skip
        return IssueLine(issue=issue, **{name: getattr(self, name) for name in copied})

    @transaction.atomic
    def change(self, by, **values):
        """Change what a person may: texts, quantity, price or margin.

        unit_price None goes back to the price that cost and margin make; work has no such price and keeps its own.
        """
        self.issue.hold_draft()
        before = {name: getattr(self, name) for name in values}
        price = values.pop("unit_price", self.unit_price)
        if price is not None and (self.kind != self.PART or price != self.unit_price or self.by_hand):
            self.by_hand, self.unit_price = True, price
        elif price is None:
            self.by_hand = False
        for name, value in values.items():
            setattr(self, name, value)
        self.save()
        self.issue.touch()
        audit.record(by, "changed line", f"quote {self.issue}", before, values | {"unit_price": price})

    @transaction.atomic
    def remove(self, by):
        """Take a line out of a draft; a part of the spec leaves by the spec."""
        self.issue.hold_draft()
        if self.rework:
            raise Refused(_t("It comes from the re-work below; take the task out there."))
        if self.kind == self.PART and self.role_id:
            raise Refused(
                _t("The spec holds “%(text)s”; take it out there, or type a price of 0 here.") % {"text": self.text}
            )
        audit.record(by, "removed line", f"quote {self.issue}", {"text": self.text, "unit_price": self.unit_price})
        self.delete()
        self.issue.touch()


class StagePaymentQuerySet(models.QuerySet):
    def agreed(self, jobs):
        """Stage payments of the accepted issues of some jobs."""
        return self.filter(issue__quote__job__in=jobs, issue__state=Issue.State.ACCEPTED)


class StagePayment(Versioned):
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
    # the stage of the job from which each is due
    FROM = {"acceptance": Stage.AGREED, "bench": Stage.GATHERING, "handover": Stage.PROVING}
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

    objects = StagePaymentQuerySet.as_manager()

    class Meta:
        ordering = ["position", "pk"]

    def __str__(self):
        return self.name

    def is_due_in(self, stage):
        """Whether it is due once the job has reached a stage; nothing falls due on a lost or cancelled job."""
        return self.falls_due(self.due, stage)

    @classmethod
    def falls_due(cls, due, stage):
        """The same for plain values, of which a board asks for hundreds."""
        return stage in LINE_OF_STAGES and LINE_OF_STAGES.index(stage) >= LINE_OF_STAGES.index(cls.FROM[due])

    def copy_for(self, issue):
        names = ("position", "name", "basis", "value", "due")
        return StagePayment(issue=issue, **{name: getattr(self, name) for name in names})

    @transaction.atomic
    def change(self, by, **values):
        self.issue.hold_draft()
        before = {name: getattr(self, name) for name in values}
        for name, value in values.items():
            setattr(self, name, value)
        self.save()
        self.issue.touch()
        audit.record(by, "changed stage payment", f"quote {self.issue}", before, values)

    @transaction.atomic
    def remove(self, by):
        self.issue.hold_draft()
        audit.record(by, "removed stage payment", f"quote {self.issue}", {"name": self.name})
        self.delete()
        self.issue.touch()
