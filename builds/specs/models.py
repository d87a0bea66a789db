from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from builds.jobs.models import Job
from parts.catalogue.models import Part
from parts.kinds import kind_choices
from parts.workshop.models import Versioned


class Role(models.Model):
    """What a part is for in a job ("front radiator"); it lives on while spec versions come and go."""

    job = models.ForeignKey(Job, models.CASCADE, related_name="roles")
    kind = models.CharField(_("kind"), max_length=24, choices=kind_choices)
    name = models.CharField(_("role"), max_length=60)
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["position", "pk"]
        constraints = [models.UniqueConstraint(fields=["job", "name"], name="role_once_per_job")]

    def __str__(self):
        return self.name


class SpecVersionQuerySet(models.QuerySet):
    def agreed_for(self, job):
        """The version of the job's last acceptance, or None before there is one."""
        return self.filter(job=job, agreed_at__isnull=False).order_by("-agreed_at", "-number").first()

    def current_for(self, job):
        """The version being worked on: the newest."""
        return self.filter(job=job).order_by("-number").first()


class SpecVersion(Versioned):
    """What goes into the machine, as it stood at one time; frozen when a quote of it is sent.

    agreed_at is set by the acceptance of an issue that offers this version.
    """

    job = models.ForeignKey(Job, models.CASCADE, related_name="spec_versions")
    number = models.PositiveSmallIntegerField()
    based_on = models.ForeignKey("self", models.SET_NULL, null=True, related_name="+")
    made_at = models.DateTimeField(default=timezone.now)
    frozen_at = models.DateTimeField(null=True, blank=True)
    agreed_at = models.DateTimeField(null=True, blank=True)

    objects = SpecVersionQuerySet.as_manager()

    class Meta:
        ordering = ["number"]
        constraints = [models.UniqueConstraint(fields=["job", "number"], name="spec_version_once")]

    def __str__(self):
        return f"{self.job} spec {self.number}"


class SpecLine(models.Model):
    """One part in a role."""

    spec = models.ForeignKey(SpecVersion, models.CASCADE, related_name="lines")
    role = models.ForeignKey(Role, models.PROTECT, related_name="lines")
    part = models.ForeignKey(Part, models.PROTECT, related_name="spec_lines")
    quantity = models.DecimalField(
        _("quantity"),
        max_digits=9,
        decimal_places=3,
        default=Decimal(1),
        validators=[MinValueValidator(Decimal("0.001"))],
    )
    client_supplied = models.BooleanField(_("the client supplies it"), default=False)
    remark = models.CharField(_("remark"), max_length=200, blank=True)

    class Meta:
        ordering = ["role__position", "pk"]
        constraints = [models.UniqueConstraint(fields=["spec", "role"], name="one_line_per_role")]

    def __str__(self):
        return f"{self.role}: {self.part}"


class Loop(models.Model):
    """The order in which coolant passes the components, and what the tubes add."""

    spec = models.ForeignKey(SpecVersion, models.CASCADE, related_name="loops")
    name = models.CharField(_("name"), max_length=40, default="loop")
    tube_length_mm = models.FloatField(_("tube, all runs"), default=2000, validators=[MinValueValidator(0)])
    fitting_loss = models.FloatField(_("sum of fitting losses"), default=12, validators=[MinValueValidator(0)])
    case_heat_w = models.FloatField(
        _("heat of other parts into case air"), default=60, validators=[MinValueValidator(0)]
    )
    case_air_flow_m3h = models.FloatField(
        _("air through the case besides radiators"), default=0, validators=[MinValueValidator(0)]
    )

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["spec", "name"], name="loop_once_per_spec")]

    def __str__(self):
        return self.name


class Step(models.Model):
    """One component in a loop's order, with how it is run."""

    ROOM, CASE = "room", "case"
    PLACES = [
        ("front", _("front")), ("top", _("top")), ("rear", _("rear")),
        ("bottom", _("bottom")), ("side", _("side")), ("outside", _("outside")),
    ]  # fmt: skip
    AIR = [(ROOM, _("room")), (CASE, _("case"))]
    loop = models.ForeignKey(Loop, models.CASCADE, related_name="steps")
    line = models.ForeignKey(SpecLine, models.CASCADE, related_name="steps")
    position = models.PositiveSmallIntegerField()
    speed = models.FloatField(
        _("speed, of rated"), default=0.75, validators=[MinValueValidator(0), MaxValueValidator(1.5)],
        help_text=_("Fan speed of a radiator, pump speed of a pump."),
    )  # fmt: skip
    cools = models.ForeignKey(Role, models.SET_NULL, null=True, blank=True, related_name="+", verbose_name=_("cools"))
    fans = models.ForeignKey(Role, models.SET_NULL, null=True, blank=True, related_name="+", verbose_name=_("fans"))
    fan_count = models.PositiveSmallIntegerField(_("fans on it"), default=0)
    layers = models.PositiveSmallIntegerField(
        _("fans in a row"), default=1, validators=[MinValueValidator(1), MaxValueValidator(2)]
    )
    grille_loss = models.FloatField(_("loss of grille or filter"), default=1.5, validators=[MinValueValidator(0)])
    draws_from = models.CharField(_("draws air from"), max_length=4, choices=AIR, default=ROOM)
    blows_to = models.CharField(_("blows air to"), max_length=4, choices=AIR, default=ROOM)
    place = models.CharField(
        _("place in the case"), max_length=8, blank=True,
        choices=PLACES,
    )  # fmt: skip

    class Meta:
        ordering = ["position", "pk"]
        constraints = [models.UniqueConstraint(fields=["loop", "line"], name="component_once_per_loop")]

    def __str__(self):
        return f"{self.position}. {self.line.role}"
