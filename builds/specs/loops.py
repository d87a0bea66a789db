"""Loops of a spec version: the order of their components, and how each is run."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models, transaction
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from builds.checks.facts import BLOCKS, COOLED_BY, PUMPS
from parts.workshop import audit
from parts.workshop.refusal import Refused

from .runs import Run, measured

# What coolant passes, in the order that is usual: the reservoir feeds the pump.
USUAL = ("reservoir", *PUMPS, *BLOCKS, "radiator")
# What is told of a loop's filling: each a step of it.
POINTS = {
    "highest": _("highest point"), "filled_at": _("filled here"), "lowest": _("lowest point"),
    "drained_at": _("drained here"),
}  # fmt: skip


class Loop(models.Model):
    """The order in which coolant passes the components, and what the tubes add."""

    spec = models.ForeignKey("builds.SpecVersion", models.CASCADE, related_name="loops")
    name = models.CharField(_("name"), max_length=40, default="loop")
    tube_length_mm = models.FloatField(_("tube, all runs"), default=2000, validators=[MinValueValidator(0)])
    fitting_loss = models.FloatField(_("sum of fitting losses"), default=12, validators=[MinValueValidator(0)])
    case_heat_w = models.FloatField(
        _("heat of other parts into case air"), default=60, validators=[MinValueValidator(0)]
    )
    case_air_flow_m3h = models.FloatField(
        _("air through the case besides radiators"), default=0, validators=[MinValueValidator(0)]
    )
    altitude_m = models.FloatField(
        _("altitude it will stand at"), default=0, validators=[MinValueValidator(-430), MaxValueValidator(5000)]
    )

    air_ml = models.FloatField(
        _("air left in it"), null=True, blank=True, validators=[MinValueValidator(0)],
        help_text=_("Above the coolant, when it is closed. Empty: not said."),
    )  # fmt: skip
    breather = models.BooleanField(_("it breathes"), default=False)
    # Where air gathers and where coolant stays: told by looking at the machine, so no heights are asked for.
    highest, lowest, filled_at, drained_at = (
        models.ForeignKey("builds.Step", models.SET_NULL, null=True, blank=True, related_name="+", verbose_name=label)
        for label in (_("highest point"), _("lowest point"), _("filled at"), _("drained at"))
    )

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["spec", "name"], name="loop_once_per_spec")]

    def __str__(self):
        return self.name

    @property
    def tube_mm(self):
        """Tube of all runs: as measured once every run is, else as guessed."""
        runs = measured(list(self.steps.all()), self.runs.all())
        return sum(run.length_mm for run in runs) if runs else self.tube_length_mm

    def ordered(self):
        return list(self.steps.select_related("line__role", "line__part", "cools", "fans"))

    def step_of(self, role):
        """The step of a role in this loop. Raises Refused when it is not in it."""
        step = self.steps.select_related("line__role", "line__spec").filter(line__role=role).first()
        if step is None:
            raise Refused(_t("The %(role)s is not in this loop any more.") % {"role": role})
        return step

    @transaction.atomic
    def alter(self, by, **values):
        """Change what the tubes and the case add, or the name."""
        name = values.get("name", self.name)
        if self.spec.loops.filter(name__iexact=name).exclude(pk=self.pk).exists():
            raise Refused(_t("There is a loop “%(name)s” already; choose another name.") % {"name": name}, "name")
        _alter(self, by, values)

    @transaction.atomic
    def add(self, line, by):
        """Put a spec line's component at the end of the order."""
        if line.spec_id != self.spec_id or line.role.kind not in USUAL:
            raise Refused(_t("Coolant does not pass the %(role)s.") % {"role": line.role}, "line")
        if Step.objects.filter(line=line).exists():
            raise Refused(_t("The %(role)s is in a loop already.") % {"role": line.role}, "line")
        last = self.steps.aggregate(last=models.Max("position"))["last"]
        step = Step(loop=self, line=line, position=0 if last is None else last + 1)
        step.run_as_usual()
        step.save()
        audit.record(by, "put in the loop", f"spec {self.spec}", after={"role": line.role.name, "loop": self.name})
        return step

    @transaction.atomic
    def measure(self, rows, by):
        """Note runs: {(from step, to step): {length_mm, bends, angles, bulkheads, from_port, to_port} or None}."""
        for (start, end), said in rows.items():
            self.runs.filter(from_step=start).delete()
            if said:
                Run.objects.create(loop=self, from_step=start, to_step=end, **said)
        noted = {f"{a.line.role} → {b.line.role}": said["length_mm"] for (a, b), said in rows.items() if said}
        audit.record(by, "runs measured", f"spec {self.spec}", after={"loop": self.name, **noted})

    @transaction.atomic
    def mark(self, by, **steps):
        """Say which steps of it are its highest and lowest point, and at which it is filled and drained."""
        before = {name: getattr(self, name) for name in steps}
        changed = {name: step for name, step in steps.items() if step != before[name]}
        for name, step in changed.items():
            setattr(self, name, step)
        if changed:
            self.save(update_fields=list(changed))
            was, now = ({name: said[name] and said[name].line.role.name for name in changed}
                        for said in (before, steps))  # fmt: skip
            audit.record(by, "filling noted", f"spec {self.spec}", was, {"loop": self.name, **now})

    def copy_into(self, spec, lines):
        """This loop in another version, with steps and runs; lines: {pk here: line there}."""
        steps, runs = list(self.steps.all()), list(self.runs.all())
        copied = Loop(**{f.attname: getattr(self, f.attname) for f in self._meta.concrete_fields if not f.primary_key})
        copied.spec = spec
        marks = {name: getattr(self, f"{name}_id") for name in POINTS}
        for name in POINTS:
            setattr(copied, name, None)
        copied.save()
        there = {}
        for step in steps:
            there[step.pk], step.pk, step.loop, step.line = step, None, copied, lines[step.line_id]
            step._state.adding = True
        Step.objects.bulk_create(steps)
        for run in runs:
            run.pk, run.loop = None, copied
            run.from_step, run.to_step = there[run.from_step_id], there[run.to_step_id]
            run._state.adding = True
        Run.objects.bulk_create(runs)
        for name, step in marks.items():
            setattr(copied, name, there.get(step))
        copied.save(update_fields=POINTS)
        return copied

    @transaction.atomic
    def move(self, step, by, up):
        """Let a component change places with the one before it (up) or after it."""
        order = list(self.steps.select_related("line__role"))
        at = order.index(step)
        other = at - 1 if up else at + 1
        if not 0 <= other < len(order):
            return
        order[at], order[other] = order[other], order[at]
        for position, one in enumerate(order):
            one.position = position
        Step.objects.bulk_update(order, ["position"])
        audit.record(by, "reordered", f"spec {self.spec}", after={"order": [s.line.role.name for s in order]})

    @transaction.atomic
    def take_out(self, step, by):
        """Take a component out of the order; its part stays in the spec."""
        name = step.line.role.name
        step.delete()
        audit.record(by, "taken out of the loop", f"spec {self.spec}", before={"role": name, "loop": self.name})

    @transaction.atomic
    def dissolve(self, by):
        """Take the whole loop away; its parts stay in the spec."""
        audit.record(by, "loop removed", f"spec {self.spec}", before={"loop": self.name})
        self.delete()

    @transaction.atomic
    def lay_as_usual(self, by):
        """Append every component that is in no loop yet, in the usual order: pump, blocks, radiators."""
        placed = Step.objects.filter(loop__spec=self.spec_id).values("line")
        lines = self.spec.lines.filter(role__kind__in=USUAL).exclude(pk__in=placed).select_related("role", "part")
        for line in sorted(lines, key=lambda line: (USUAL.index(line.role.kind), line.role.position, line.pk)):
            self.add(line, by)


class Step(models.Model):
    """One component in a loop's order, with how it is run."""

    ROOM, CASE = "room", "case"
    PLACES = [
        ("front", _("front")), ("top", _("top")), ("rear", _("rear")),
        ("bottom", _("bottom")), ("side", _("side")), ("outside", _("outside")),
    ]  # fmt: skip
    PORTS_AT = [("up", _("up")), ("down", _("down")), ("level", _("to the side"))]
    THROUGH = [
        ("fan", _("the whole fan")), ("flange", _("one flange of the fan")), ("panel", _("the panel alone")),
        ("fan and panel", _("the panel and the whole fan")),
    ]  # fmt: skip
    AIR = [(ROOM, _("room")), (CASE, _("case"))]
    loop = models.ForeignKey(Loop, models.CASCADE, related_name="steps")
    line = models.ForeignKey("builds.SpecLine", models.CASCADE, related_name="steps")
    position = models.PositiveSmallIntegerField()
    speed = models.FloatField(
        _("speed, of rated"), default=0.75, validators=[MinValueValidator(0), MaxValueValidator(1.5)],
        help_text=_("Fan speed of a radiator, pump speed of a pump."),
    )  # fmt: skip
    cools = models.ForeignKey(
        "builds.Role", models.SET_NULL, null=True, blank=True, related_name="+", verbose_name=_("cools")
    )
    fans = models.ForeignKey(
        "builds.Role", models.SET_NULL, null=True, blank=True, related_name="+", verbose_name=_("fans")
    )
    fan_count = models.PositiveSmallIntegerField(_("fans on it"), default=0)
    layers = models.PositiveSmallIntegerField(
        _("fans in a row"), default=1, validators=[MinValueValidator(1), MaxValueValidator(2)]
    )
    grille_loss = models.FloatField(_("loss of grille or filter"), default=1.5, validators=[MinValueValidator(0)])
    draws_from = models.CharField(_("draws air from"), max_length=4, choices=AIR, default=ROOM)
    blows_to = models.CharField(_("blows air to"), max_length=4, choices=AIR, default=ROOM)
    place = models.CharField(_("place in the case"), max_length=8, blank=True, choices=PLACES)
    ports_at = models.CharField(_("its ports look"), max_length=5, blank=True, choices=PORTS_AT)
    screws = models.ForeignKey(
        "builds.Role", models.SET_NULL, null=True, blank=True, related_name="+", verbose_name=_("screws of its fans")
    )
    screw_through = models.CharField(_("the screws pass"), max_length=14, blank=True, choices=THROUGH)
    screw_extra_mm = models.FloatField(
        _("washers and grille under their heads"), default=0, validators=[MinValueValidator(0)]
    )
    gasket_mm = models.FloatField(_("gasket and grille in its stack"), default=0, validators=[MinValueValidator(0)])
    retapped = models.BooleanField(_("its fan holes are re-tapped to M4"), default=False)

    class Meta:
        ordering = ["position", "pk"]
        constraints = [models.UniqueConstraint(fields=["loop", "line"], name="component_once_per_loop")]

    def __str__(self):
        return f"{self.position}. {self.line.role}"

    @property
    def kind(self):
        return self.line.role.kind

    @property
    def points(self):
        """What is told of it for filling and draining, in words."""
        return [label for name, label in POINTS.items() if getattr(self.loop, f"{name}_id") == self.pk]

    @transaction.atomic
    def alter(self, by, **values):
        """Change how the component is run."""
        _alter(self, by, values)

    def run_as_usual(self):
        """Fill in what can be told from the spec: what a block cools, a radiator's fans, place and air."""
        lines = list(self.line.spec.lines.select_related("role", "part").prefetch_related("part__facts"))
        if self.kind in COOLED_BY:
            taken = set(Step.objects.filter(loop__spec=self.line.spec_id).values_list("cools", flat=True))
            free = [line.role for line in lines if line.role.kind == COOLED_BY[self.kind] and line.role_id not in taken]
            self.cools = free[0] if free else None
        elif self.kind == "radiator":
            self._usual_fans(lines)
            self._usual_place()
        elif self.kind in PUMPS:
            self.speed = 1.0

    def _usual_fans(self, lines):
        """Fans of the radiator's section size that are still free, as many as it has sections."""
        known = {line.pk: line.part.known for line in lines}
        mine = known[self.line_id]
        sections = int(mine["sections"].value) if "sections" in mine else 1
        size = mine["section_size"].value if "section_size" in mine else None
        used = dict(
            Step.objects.filter(loop__spec=self.line.spec_id, fans__isnull=False)
            .values_list("fans")
            .annotate(models.Sum("fan_count"))
        )
        for line in lines:
            theirs = known[line.pk].get("size") if line.role.kind == "fan" else None
            fits = line.role.kind == "fan" and (size is None or theirs is None or theirs.value == size)
            if fits and line.quantity - used.get(line.role_id, 0) >= sections:
                self.fans, self.fan_count = line.role, sections
                return

    def _usual_place(self):
        """A role called "front radiator" sits at the front; one that blows out of the case draws from it.

        A radiator whose name tells nothing draws from the room and blows into the case, so that air passes the case.
        """
        words = self.line.role.name.casefold().split()
        named = [key for key, label in self.PLACES if key in words or str(label).casefold() in words]
        self.place = named[0] if named else ""
        if self.place in {"top", "rear"}:
            self.draws_from, self.blows_to = self.CASE, self.ROOM
        elif self.place != "outside":
            self.draws_from, self.blows_to = self.ROOM, self.CASE


def _alter(row, by, values):
    before = {name: getattr(row, name) for name in values}
    changed = {name: value for name, value in values.items() if before[name] != value}
    for name, value in changed.items():
        setattr(row, name, value)
    if changed:
        row.save()
        said = {name: before[name] for name in changed}
        spec = row.spec if isinstance(row, Loop) else row.loop.spec
        audit.record(by, "changed", f"spec {spec}", {"of": str(row), **said}, changed)
