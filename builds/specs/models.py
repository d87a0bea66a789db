from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from builds.jobs.models import Job
from parts.catalogue.models import Part
from parts.kinds import kind_choices
from parts.workshop import audit
from parts.workshop.models import Versioned
from parts.workshop.refusal import Refused

from .cables import Cable, PinOut, WireTest
from .copying import copy_rows, give_roles
from .loops import Loop, Step
from .roles import names_for_rows, next_name, said_kind
from .runs import Run

__all__ = ["Cable", "Loop", "PinOut", "Role", "Run", "SpecLine", "SpecVersion", "Step", "WireTest"]


class RoleQuerySet(models.QuerySet):
    def waiting(self, job):
        """Roles for which a part is still to be chosen: they never had one, in no version."""
        return self.filter(job=job, lines__isnull=True)


class Role(models.Model):
    """What a part is for in a job ("front radiator"); it lives on while spec versions come and go."""

    job = models.ForeignKey(Job, models.CASCADE, related_name="roles")
    kind = models.CharField(_("kind"), max_length=24, choices=kind_choices)
    name = models.CharField(_("role"), max_length=60)
    position = models.PositiveSmallIntegerField(default=0)

    objects = RoleQuerySet.as_manager()

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

    @transaction.atomic
    def for_change(self, job, by):
        """The version to change: the newest; its copy when it is frozen; the first one when there is none."""
        job = Job.objects.select_for_update().get(pk=job.pk)
        if not job.is_live:
            raise Refused(_t("%(job)s is no longer live; its spec stays as it is.") % {"job": job})
        current = self.current_for(job)
        if current is None:
            current = self.create(job=job, number=1)
            audit.record(by, "begun", f"spec {current}")
        return current.copy(by) if current.frozen_at else current


class SpecVersion(Versioned):
    """What goes into the machine, as it stood at one time; frozen when a quote of it is sent.

    agreed_at is set by the acceptance of an issue that offers this version. Lines are named by their role, which
    outlives the version: so a change that begins on a frozen version goes on in its copy.
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

    def _open(self):
        if self.frozen_at:
            raise Refused(_t("%(spec)s is frozen; change its next version.") % {"spec": self})

    def line_of(self, role):
        return self.lines.select_related("role", "part").filter(role=role).first()

    @transaction.atomic
    def add_role(self, kind, name, by):
        """Make a role (a name is made up when none is given), or find the one of that name and kind again."""
        self._open()
        taken = list(self.job.roles.values_list("name", flat=True))
        name = " ".join((name or "").split()) or next_name(kind, taken)
        role = self.job.roles.filter(name__iexact=name).first()
        if role is None:
            last = self.job.roles.aggregate(last=models.Max("position"))["last"]
            role = Role.objects.create(job=self.job, kind=kind, name=name, position=0 if last is None else last + 1)
            audit.record(by, "role added", f"spec {self}", after={"role": name, "kind": kind})
        elif role.kind != kind or self.lines.filter(role=role).exists():
            raise Refused(
                _t("“%(name)s” is there already, for a %(kind)s; choose another name.")
                % {"name": role.name, "kind": said_kind(role.kind)},
                "name",
            )
        return role

    @transaction.atomic
    def put(self, role, part, by, **said):
        """Put a part into a role, or change what is there.

        said: quantity, client_supplied, remark, fed_from, feeds, outlets; what is not said, or None, stays as it was.
        """
        self._open()
        if part.kind != role.kind:
            raise Refused(
                _t("%(part)s is a %(kind)s; the role “%(role)s” is for a %(wanted)s.")
                % {"part": part, "kind": said_kind(part.kind), "role": role, "wanted": said_kind(role.kind)},
                "part",
            )
        line = self.lines.select_related("part").filter(role=role).first()
        before = line.as_said() if line else None
        if line and line.part_id != part.pk and self.job.serves_id:
            line.client_supplied = False  # what comes new into a machine in service is not the client's own
        line = line or SpecLine(spec=self, role=role)
        line.part = part
        for name, value in said.items():
            if value is not None or name in ("fed_from", "feeds"):
                setattr(line, name, value)
        line.save()
        if line.as_said() != before:
            audit.record(by, "part chosen", f"spec {self}", before, {"role": role.name, **line.as_said()})
        return line

    @transaction.atomic
    def set_line(self, role, by, name, **said):
        """Rename a role and change quantity, supply and remark of its part, where it has one."""
        self.rename(role, name, by)
        line = self.line_of(role)
        return self.put(role, line.part, by, **said) if line else None

    @transaction.atomic
    def rename(self, role, name, by):
        """Call a role something else; it stays the same role everywhere."""
        name = " ".join(name.split())
        if not name or name == role.name:
            return
        if self.job.roles.filter(name__iexact=name).exclude(pk=role.pk).exists():
            raise Refused(_t("“%(name)s” is there already; choose another name.") % {"name": name}, "name")
        before, role.name = role.name, name
        role.save(update_fields=["name"])
        audit.record(by, "role renamed", f"spec {self}", {"role": before}, {"role": name})

    @transaction.atomic
    def take_out(self, role, by):
        """Take a role out of this version; a role that nothing else knows is gone."""
        self._open()
        line = self.line_of(role)
        if line:
            line.delete()
        audit.record(by, "taken out", f"spec {self}", {"role": role.name, **(line.as_said() if line else {})})
        if not role.lines.exists():
            try:
                with transaction.atomic():
                    role.delete()
            except models.ProtectedError:
                pass  # a need or a unit still points to it

    @transaction.atomic
    def move(self, role, by, up):
        """Let a role change places with the one before it (up) or after it on the page."""
        order = list(self.job.roles.filter(models.Q(lines__spec=self) | models.Q(lines__isnull=True)).distinct())
        at = order.index(role)
        other = at - 1 if up else at + 1
        if not 0 <= other < len(order):
            return
        order[at], order[other] = order[other], order[at]
        for position, one in enumerate(order):
            one.position = position
        Role.objects.bulk_update(order, ["position"])
        audit.record(by, "roles reordered", f"spec {self}", after={"role": role.name, "place": other + 1})

    @transaction.atomic
    def take_rows(self, rows, by):
        """Make roles and lines from a list of (part, quantity, remark); a part that is in the spec already adds up.

        Roles are named by kind, numbered where a kind comes several times; a waiting role of the kind is filled first.
        """
        self._open()
        present = {line.part_id: line for line in self.lines.select_related("role", "part")}
        waiting = {role.kind: role for role in Role.objects.waiting(self.job).order_by("-position")}
        fresh = {}
        for part, quantity, remark in rows:
            if part.pk in present:
                line = present[part.pk]
                self.put(line.role, part, by, quantity=line.quantity + quantity)
                line.quantity += quantity
            else:
                count, said = fresh.get(part, (Decimal(0), ""))
                fresh[part] = count + quantity, said or remark
        names = names_for_rows([part.kind for part in fresh], self.job.roles.values_list("name", flat=True))
        return [
            self.put(
                waiting.pop(part.kind, None) or self.add_role(part.kind, name, by),
                part,
                by,
                quantity=quantity,
                remark=(remark or "")[:200],
            )
            for name, (part, (quantity, remark)) in zip(names, fresh.items(), strict=True)
        ]

    @transaction.atomic
    def freeze(self, by):
        """Fix this version for a quote that goes out; changing it later makes the next version."""
        if self.frozen_at is None:
            self.frozen_at = timezone.now()
            self.save(update_fields=["frozen_at"])
            audit.record(by, "frozen", f"spec {self}")

    @transaction.atomic
    def copy(self, by):
        """The next version, with lines, loops and steps as they stand here; the roles are the same ones."""
        newest = SpecVersion.objects.current_for(self.job)
        new = SpecVersion.objects.create(job=self.job, number=newest.number + 1, based_on=self)
        lines = copy_rows(self, new)
        audit.record(by, "copied", f"spec {new}", after={"from": self.number, "lines": len(lines)})
        return new

    @transaction.atomic
    def copy_to(self, job, by):
        """The first spec of another job without one, with roles of its own by the same names."""
        new = SpecVersion.objects.create(job=job, number=1, based_on=self)
        lines = copy_rows(self, new)
        old, own = {role.pk: role for role in self.job.roles.all()}, {}

        def role_of(pk):
            if pk not in own:
                role = old[pk]
                own[pk] = Role.objects.create(job=job, kind=role.kind, name=role.name, position=role.position)
            return own[pk]

        give_roles(new, role_of)
        audit.record(by, "copied", f"spec {new}", after={"from": str(self), "lines": len(lines)})
        return new

    def twin_of(self, loop):
        """The loop of this version that carries on an older version's loop. Raises Refused when it was taken away."""
        twin = loop if loop.spec_id == self.pk else self.loops.filter(name=loop.name).first()
        if twin is None:
            raise Refused(_t("“%(loop)s” is no longer in %(spec)s.") % {"loop": loop.name, "spec": self})
        return twin

    def add_loop(self, by, name=""):
        """A loop of its own name in this version."""
        self._open()
        taken = {loop.name.casefold() for loop in self.loops.all()}
        name = " ".join(name.split())
        if name.casefold() in taken:
            raise Refused(_t("There is a loop “%(name)s” already; choose another name.") % {"name": name}, "name")
        first = str(_t("loop"))
        n, free = 1, first
        while free.casefold() in taken:
            n, free = n + 1, f"{first} {n + 1}"
        loop = Loop.objects.create(spec=self, name=name or free)
        audit.record(by, "loop added", f"spec {self}", after={"loop": loop.name})
        return loop


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
    fed_from = models.ForeignKey(
        Role, models.SET_NULL, null=True, blank=True, related_name="+", verbose_name=_("fed from"),
        help_text=_("Board, controller or supply."),
    )  # fmt: skip
    feeds = models.ForeignKey(
        Role, models.SET_NULL, null=True, blank=True, related_name="+", verbose_name=_("leads to"),
        help_text=_("Of a cable: the device."),
    )  # fmt: skip
    outlets = models.PositiveSmallIntegerField(
        _("spread over so many outputs"), default=1, validators=[MinValueValidator(1)]
    )

    class Meta:
        ordering = ["role__position", "pk"]
        constraints = [models.UniqueConstraint(fields=["spec", "role"], name="one_line_per_role")]

    def __str__(self):
        return f"{self.role}: {self.part}"

    def as_said(self):
        """What the line says, as plain values."""
        return {
            "part": self.part.name,
            "quantity": f"{self.quantity.normalize():f}",
            "client supplies": self.client_supplied,
            "remark": self.remark,
            **({"fed from": self.fed_from.name, "outputs": self.outlets} if self.fed_from else {}),
            **({"leads to": self.feeds.name} if self.feeds else {}),
        }
