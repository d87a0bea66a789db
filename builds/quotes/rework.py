"""What a variation undoes: finished tasks to be done again, the days it moves, what it brings to know."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db import models, transaction
from django.db.models import Sum
from django.utils.formats import date_format
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from builds.labour.foreseen import outlooks, suggested_promise
from builds.labour.models import Need, Task, network_of
from builds.labour.network import before_all
from builds.labour.patterns import HOURS, PlanPattern
from builds.labour.plan import lay_out
from builds.labour.undone import work_undone
from parts.workshop import audit
from parts.workshop.refusal import Refused


class Rework(models.Model):
    """A finished task that a variation undoes, and the hours that doing it again takes."""

    issue = models.ForeignKey("Issue", models.CASCADE, related_name="reworks")
    task = models.ForeignKey(Task, models.CASCADE, related_name="reworks", verbose_name=_("task"))
    hours = models.DecimalField(_("hours"), **HOURS)

    class Meta:
        ordering = ["task__position", "pk"]
        constraints = [models.UniqueConstraint(fields=["issue", "task"], name="rework_once")]

    def __str__(self):
        return f"{self.task}: {self.hours} h"

    def undo(self, by):
        """Open the task again, with the hours for doing it a second time on top of its own."""
        task = Task.objects.select_for_update().select_related("job").get(pk=self.task_id)
        for name in ("hours_low", "hours_likely", "hours_high"):
            setattr(task, name, getattr(task, name) + self.hours)
        task.save(update_fields=["hours_low", "hours_likely", "hours_high"])
        task.reopen(by, reason=_t("undone by variation %(issue)s") % {"issue": self.issue})


def changed_roles(agreed, spec):
    """Ids of the roles whose line two spec versions do not share."""
    before, after = (
        {x.role_id: (x.part_id, x.quantity, x.client_supplied) for x in version.lines.all()}
        for version in (agreed, spec)
    )
    return {role for role in before.keys() | after.keys() if before.get(role) != after.get(role)}


def changed_kinds(agreed, spec):
    """Kinds of the parts that lie in the machine otherwise in two spec versions, whoever supplies them."""
    before, after = (
        {(x.role_id, x.part_id, x.quantity): x.role.kind for x in version.lines.select_related("role")}
        for version in (agreed, spec)
    )
    return {(before | after)[line] for line in before.keys() ^ after.keys()}


def undone_tasks(job, roles):
    """Finished tasks that need one of some roles, and the finished ones that rest on these, in the plan's order."""
    done = list(Task.objects.filter(job=job, done_at__isnull=False))
    direct = set(Need.objects.filter(task__in=done, role__in=roles).values_list("task", flat=True))
    if not direct:
        return []
    edges = network_of(job)
    return [task for task in done if task.pk in direct or before_all(edges, task.pk) & direct]


class Reworking:
    """Mixin of Issue: a variation's re-work, while drafted and when accepted."""

    def propose_rework(self, since=None):
        """Put down what a change of spec undoes; since: the version looked at before, whose tasks are known."""
        if not self.is_variation:
            return
        agreed, job = self.quote.alters.spec, self.quote.job
        known = {task.pk for task in undone_tasks(job, changed_roles(agreed, since))} if since else set()
        known |= set(self.reworks.values_list("task", flat=True))
        Rework.objects.bulk_create(
            Rework(issue=self, task=task, hours=task.hours_likely)
            for task in undone_tasks(job, changed_roles(agreed, self.spec))
            if task.pk not in known
        )

    @transaction.atomic
    def put_rework(self, by, task, hours):
        """Say that a finished task is done again, and in how many hours; its work is priced at its kind's rate."""
        job = self.hold_draft()
        if not self.is_variation:
            raise Refused(_t("Only a variation undoes work."))
        if task.job_id != job.pk or not task.is_done:
            raise Refused(_t("Only a finished task of this job is done again."), "task")
        self.reworks.update_or_create(task=task, defaults={"hours": hours})
        self._put_lines(list(self.lines.all()))
        self.touch()
        audit.record(by, "put re-work", f"quote {self}", after={"task": task.name, "hours": hours})

    @transaction.atomic
    def drop_rework(self, by, rework):
        """The task stays done after all."""
        self.hold_draft()
        audit.record(by, "dropped re-work", f"quote {self}", {"task": rework.task.name, "hours": rework.hours})
        rework.delete()
        self._put_lines(list(self.lines.all()))
        self.touch()

    def _lay_plan_again(self, job, by):
        """Fit the plan to an accepted change: steps for what is new, counts, and what was done opened again."""
        for pattern in PlanPattern.objects.filter(tasks__tasks__job=job).distinct():
            lay_out(job, self.spec, pattern, by)
        for rework in self.reworks.all():
            rework.undo(by)
        kinds = changed_kinds(self.quote.alters.spec, self.spec)
        why = _t("variation %(issue)s changes parts") % {"issue": self}
        work_undone.send(type(self), job=job, by=by, why=why, task=None, kinds=kinds)

    def effects(self):
        """What a variation does besides its price, as JSON-ready data that its paper and pages say."""
        if not self.is_variation:
            return {}
        if not self.is_draft:
            return self.texts.get("effects", {})
        again = self.reworks.select_related("task")
        return {
            "rework": [{"task": each.task.name, "hours": str(each.hours)} for each in again],
            "days": shift_of(self).said,
            "findings": [each.sentence for each in new_findings(self)],
        }


def hours_again(job, state):
    """{task id: hours} of the re-work in a job's issues of a state."""
    again = Rework.objects.filter(issue__quote__job=job, issue__state=state)
    return dict(again.order_by().values_list("task").annotate(Sum("hours")))


@dataclass(frozen=True)
class Shift:
    """The day the plan gives as agreed, and with the change."""

    before: date
    after: date

    @property
    def days(self):
        return (self.after - self.before).days

    @property
    def said(self):
        said = {"before": date_format(self.before), "after": date_format(self.after), "days": abs(self.days)}
        if not self.days:
            return _t("By the plan of today it moves no day: ready on %(after)s.") % said
        if self.days < 0:
            return (
                ngettext(
                    "By the plan of today it is ready %(days)d day sooner: %(after)s instead of %(before)s.",
                    "By the plan of today it is ready %(days)d days sooner: %(after)s instead of %(before)s.",
                    -self.days,
                )
                % said
            )
        return (
            ngettext(
                "By the plan of today it takes %(days)d day longer: %(after)s instead of %(before)s.",
                "By the plan of today it takes %(days)d days longer: %(after)s instead of %(before)s.",
                self.days,
            )
            % said
        )


def shift_of(issue):
    """The Shift of a variation: its work on top of what is left, and its parts' arrivals, by the job's forecast."""
    job = issue.quote.job
    before = outlooks([job])[job.pk].forecast
    work = issue.lines.filter(kind="labour").aggregate(hours=Sum("quantity"))["hours"] or Decimal(0)
    return Shift(before.day, suggested_promise(job, issue.spec, more=work).day)


def new_findings(issue):
    """Stops and cautions on a variation's spec that the agreed one did not have; not those that only ask for facts."""
    from builds.specs.sanity import findings_of

    known = {finding.fingerprint for finding in findings_of(issue.quote.alters.spec)}
    return [f for f in findings_of(issue.spec) if f.fingerprint not in known and f.severity != "note" and not f.asks]
