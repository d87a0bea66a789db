"""A machine's whole life after it left: services with their readings, care done and to come, serials, papers."""

from builds.jobs.models import Job
from builds.proving.models import Gate
from builds.sheets.models import Document
from parts.shelf.models import Unit

from .aftercare import CareDate
from .models import Owed


def life_of(machine, person):
    """What the page of a machine's life shows; a constant number of queries, whatever its age."""
    services = list(machine.services.order_by("-number"))
    jobs = [machine, *services]
    gates = {}
    for gate in Gate.objects.filter(job__in=services).with_trials():
        gates.setdefault(gate.job_id, []).append(gate)
    dates = CareDate.objects.filter(job=machine)
    return {
        "services": [{"job": job, "gates": gates.get(job.pk, [])} for job in services],
        "care": dates.open(),
        "cared": dates.exclude(done_on=None).select_related("done_by").order_by("-done_on"),
        "owed": Owed.objects.open().filter(pack__job__in=jobs).select_related("pack__job"),
        "units": Unit.objects.filter(tray__in=[job.tray_id for job in jobs]).select_related("part", "left", "tray__job")
        .order_by("part__kind", "part__name", "serial"),
        "papers": Document.objects.filter(kind="pack", number=str(machine)) if person.is_owner else [],
    }  # fmt: skip


def find(person, number):
    """The machine whose life a number asks for, its own or that of the service; None where there is no such job."""
    job = Job.objects.visible_to(person).select_related("serves", "tray").filter(number=number).first()
    if job is None or not job.serves_id:
        return job
    return Job.objects.select_related("tray").get(pk=job.serves_id)
