"""Runs of tube between neighbours in a loop: measured by string or on the drawing."""

from django.core.validators import MaxValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

STRAIGHT_LOSS, ANGLE_LOSS, BEND_LOSS = 0.5, 1.0, 0.3  # of velocity head; handbook values, from memory


class RunQuerySet(models.QuerySet):
    def between(self, steps):
        """{(step, next step): Run or None} of a loop's order, the last one leading back to the first."""
        known = {(run.from_step_id, run.to_step_id): run for run in self}
        return {(a, b): known.get((a.pk, b.pk)) for a, b in around(steps)}


class Run(models.Model):
    """The tube from one component to the next one in the order. One that no longer joins neighbours is passed over."""

    PORTS = [("", _("not said")), ("in", _("inlet")), ("out", _("outlet"))]
    loop = models.ForeignKey("builds.Loop", models.CASCADE, related_name="runs")
    from_step = models.ForeignKey("builds.Step", models.CASCADE, related_name="runs_out")
    to_step = models.ForeignKey("builds.Step", models.CASCADE, related_name="runs_in")
    length_mm = models.FloatField(_("length"), validators=[MaxValueValidator(20_000)])
    bends = models.PositiveSmallIntegerField(_("bends"), default=0)
    angles = models.PositiveSmallIntegerField(_("angle fittings"), default=0)
    bulkheads = models.PositiveSmallIntegerField(_("panels it goes through"), default=0)
    from_port = models.CharField(_("leaves by"), max_length=3, blank=True, choices=PORTS[1:])
    to_port = models.CharField(_("enters by"), max_length=3, blank=True, choices=PORTS[1:])

    objects = RunQuerySet.as_manager()

    class Meta:
        ordering = ["from_step__position", "pk"]
        constraints = [models.UniqueConstraint(fields=["from_step"], name="one_run_out_of_a_step")]

    def __str__(self):
        return f"{self.from_step.line.role} → {self.to_step.line.role}"


def around(steps):
    """Neighbours in a closed loop; none for a lone component.

    >>> around(["pump", "block", "radiator"])
    [('pump', 'block'), ('block', 'radiator'), ('radiator', 'pump')]
    """
    return [] if len(steps) < 2 else list(zip(steps, [*steps[1:], steps[0]], strict=True))


def measured(steps, runs):
    """The runs of a whole loop in its order, or [] while one between neighbours is not measured."""
    known = {(run.from_step_id, run.to_step_id): run for run in runs}
    found = [known.get((a.pk, b.pk)) for a, b in around(steps)]
    return [] if None in found else found


def fitting_loss(runs):
    """Sum of loss coefficients of measured runs: two straight fittings each, angles, bends.

    >>> from types import SimpleNamespace as R
    >>> fitting_loss([R(angles=1, bends=2, bulkheads=0)])
    2.6
    """
    return sum(
        2 * STRAIGHT_LOSS * (1 + run.bulkheads) + ANGLE_LOSS * run.angles + BEND_LOSS * run.bends for run in runs
    )
