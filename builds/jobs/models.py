from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from builds.clients.models import Client
from parts.shelf.models import Tray
from parts.workshop import audit
from parts.workshop.models import Counter, Versioned
from parts.workshop.numbers import label
from parts.workshop.refusal import Refused


class Stage(models.TextChoices):
    """The stages in their order; lost and cancelled end a job from any of them."""

    ENQUIRY = "enquiry", _("enquiry")
    QUOTED = "quoted", _("quoted")
    AGREED = "agreed", _("agreed")
    GATHERING = "gathering", _("gathering")
    BENCH = "bench", _("bench")
    PROVING = "proving", _("proving")
    HANDED_OVER = "handed_over", _("handed over")
    LOST = "lost", _("lost")
    CANCELLED = "cancelled", _("cancelled")


LINE_OF_STAGES = list(Stage)[:7]
ENDED = [Stage.HANDED_OVER, Stage.LOST, Stage.CANCELLED]
LIVE = LINE_OF_STAGES[:6]


class JobQuerySet(models.QuerySet):
    def visible_to(self, person):
        """Everybody who works here sees every job; what a page shows of it depends on the role."""
        return self if person.is_authenticated else self.none()

    def live(self):
        """Jobs not ended; named by the stages they may be in, so that the index finds few among many closed ones."""
        return self.filter(stage__in=LIVE)

    def matching(self, words, by):
        """Jobs in which every word is found: in number, title, a part's name, a serial number of its own or fitted in a
        service; for an owner in the client's name.

        Each word asks of each job by itself, so that few live jobs stay quick among many closed ones.
        """
        found = self
        for word in words.split():
            number = word.upper().removeprefix("J-").lstrip("0")
            parts = models.Q(spec_versions__lines__part__search__icontains=word.casefold())
            serials = models.Q(tray__units__serial__icontains=word)
            serials |= models.Q(services__tray__units__serial__icontains=word)
            hit = models.Q(title__icontains=word)
            if by.is_owner:
                hit |= models.Q(client__name__icontains=word)
            if number.isdecimal() and len(number) < 9:
                hit |= models.Q(number=int(number))
            this = Job.objects.filter(pk=models.OuterRef("pk")).order_by()
            found = found.filter(hit | models.Exists(this.filter(parts)) | models.Exists(this.filter(serials)))
        return found


class Job(Versioned):
    """One machine commissioned, with its brief."""

    number = models.PositiveIntegerField(unique=True)
    title = models.CharField(_("title"), max_length=120)
    client = models.ForeignKey(Client, models.PROTECT, related_name="jobs", verbose_name=_("client"))
    tray = models.OneToOneField(Tray, models.PROTECT, related_name="job")
    kind = models.CharField(
        _("kind"), max_length=10, default="commission",
        choices=[("commission", _("commission")), ("service", _("service"))],
    )  # fmt: skip
    serves = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="services")
    opens_loop = models.BooleanField(
        _("the loop is opened"), default=True, help_text=_("Then air test, wet test and bleed are due again.")
    )
    under_warranty = models.BooleanField(
        _("warranty work"), default=False, help_text=_("Logged like any other, and not charged.")
    )
    stage = models.CharField(max_length=12, choices=Stage, default=Stage.ENQUIRY, db_index=True)
    paused_because = models.CharField(_("paused because"), max_length=200, blank=True)
    promise = models.DateField(_("promise"), null=True, blank=True)
    opened_at = models.DateTimeField(default=timezone.now)
    handed_over_at = models.DateTimeField(null=True, blank=True)

    purpose = models.TextField(_("purpose"), blank=True)
    theme = models.CharField(_("theme"), max_length=200, blank=True)
    budget = models.DecimalField(
        _("budget"), max_digits=12, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(0)]
    )
    noise_wish_db = models.FloatField(
        _("noise wish"), null=True, blank=True, validators=[MinValueValidator(0), MaxValueValidator(90)]
    )
    room_warmest_c = models.FloatField(
        _("warmest room"), null=True, blank=True, validators=[MinValueValidator(-10), MaxValueValidator(50)]
    )
    deadline = models.DateField(_("deadline"), null=True, blank=True)
    client_supplies = models.TextField(_("the client supplies"), blank=True)

    objects = JobQuerySet.as_manager()

    class Meta:
        ordering = ["-number"]

    def __str__(self):
        return label("job", self.number)

    @classmethod
    @transaction.atomic
    def open(cls, *, client, title, by, **brief):
        """Open an enquiry: a number, a tray, a first audit entry."""
        number = Counter.next("job")
        tray = Tray.objects.create(name=label("job", number))
        job = cls.objects.create(number=number, client=client, title=title, tray=tray, **brief)
        audit.record(by, "opened", f"job {job}", after={"title": title, "client": client.name})
        return job

    @property
    def stage_index(self):
        """Place in the line of stages from 1 to 7; 0 for a job that was lost or cancelled."""
        return LINE_OF_STAGES.index(self.stage) + 1 if self.stage in LINE_OF_STAGES else 0

    @property
    def is_live(self):
        return self.stage not in ENDED

    def _hold(self):
        """Lock the row and read where the job stands now; inside a transaction."""
        self.refresh_from_db(
            fields=["stage", "paused_because"], from_queryset=Job.objects.select_for_update(no_key=True)
        )

    @transaction.atomic
    def reach(self, stage, by):
        """Move forward to a stage; a stage already passed stays passed."""
        self._hold()
        if not self.is_live:
            raise Refused(
                _t("%(job)s is %(stage)s; it moves no further.") % {"job": self, "stage": self.get_stage_display()}
            )
        if LINE_OF_STAGES.index(stage) <= LINE_OF_STAGES.index(self.stage):
            return
        before, self.stage = self.stage, stage
        if stage == Stage.HANDED_OVER:
            self.handed_over_at = timezone.now()
        self.save(update_fields=["stage", "handed_over_at"])
        audit.record(by, "moved", f"job {self}", {"stage": before}, {"stage": stage})

    @transaction.atomic
    def open_loop(self, by):
        """A service opens the loop after all: its tests are due again. Opened once, it stays so."""
        if not self.serves_id or not self.is_live:
            raise Refused(_t("%(job)s is no service under way.") % {"job": self})
        if not self.opens_loop:
            self.opens_loop = True
            self.save(update_fields=["opens_loop"])
            audit.record(by, "opened the loop", f"job {self}")

    @transaction.atomic
    def pause(self, reason, by):
        """Let the job wait for a reason; an empty one takes it up again."""
        self._hold()
        before, self.paused_because = self.paused_because, reason
        self.save(update_fields=["paused_because"])
        audit.record(by, "paused" if reason else "took up", f"job {self}", {"reason": before}, {"reason": reason})

    @transaction.atomic
    def end(self, stage, by, reason=""):
        """Lose an enquiry or cancel a job."""
        self._hold()
        if stage not in (Stage.LOST, Stage.CANCELLED) or not self.is_live:
            raise Refused(_t("%(job)s cannot become %(stage)s now.") % {"job": self, "stage": stage})
        before, self.stage = self.stage, stage
        self.save(update_fields=["stage"])
        audit.record(by, stage, f"job {self}", {"stage": before}, {"stage": stage, "reason": reason})
