"""Tests that passed before the work under them was done again are due again."""

from django.db import transaction
from django.dispatch import receiver
from django.utils.translation import gettext as _

from builds.checks.metals import WETTED
from builds.jobs.models import Job
from builds.labour.undone import work_undone
from parts.workshop import audit
from parts.workshop.refusal import Refused

from .models import Gate

OPENS_LOOP = {*WETTED, "tube", "coolant"}  # kinds of part that nobody changes with the loop shut


@receiver(work_undone)
def undo(sender, *, job, by, why, task=None, kinds=(), **_more):
    """Void what rests on work undone: the test of an opened task, and all that an open loop makes due again.

    A test that failed has opened its own tasks; that undoes nothing further.
    """
    if task is not None and task.proves and Gate.objects.filter(job=job, kind=task.proves, verdict="failed").exists():
        return
    due = {task.proves} if task is not None and task.proves else set()
    if _opens_loop(task, kinds):
        due |= set(Gate.SERVICE)
    void(job, due, why, by)


def _opens_loop(task, kinds):
    """Whether parts that hold coolant were touched, the loop drained for a test, or what the air test follows."""
    if OPENS_LOOP & set(kinds) or task is None:
        return bool(OPENS_LOOP & set(kinds))
    return task.proves in (Gate.Kind.AIR, Gate.Kind.FILL) or task.leads_to.filter(after__proves=Gate.Kind.AIR).exists()


@transaction.atomic
def void(job, kinds, why, by):
    """Take back the verdicts of these tests of a job and open their tasks; the kinds that were through."""
    gates = list(Gate.objects.filter(job=job, kind__in=kinds, verdict__in=Gate.THROUGH).select_related("job"))
    for gate in gates:
        gate.void(why, by)
    for gate in gates:  # once all are void: a task opened again looks for tests that still stand
        gate.reopen_tasks(by, why)
    return [gate.kind for gate in gates]


@transaction.atomic
def loop_opened(job, what, by):
    """Somebody opened the loop at the bench: air test, wet test and bleed are due again. Returns their kinds."""
    Job.objects.select_for_update().get(pk=job.pk)
    if not job.is_live:
        raise Refused(_("%(job)s is closed; its tests stand as they are.") % {"job": job})
    if job.serves_id:
        job.open_loop(by)
    audit.record(by, "opened the loop again", f"job {job}", after={"what": what})
    return void(job, Gate.SERVICE, _("the loop was opened: %(what)s") % {"what": what}, by)
