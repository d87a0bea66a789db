"""A machine that comes back: a service job with its spec, and the machine's parts in its tray as the client's own."""

from django.db import transaction
from django.utils.translation import gettext as _

from builds.checks.models import Waiver
from builds.jobs.models import Job, Stage
from parts.shelf.models import Place, Stock
from parts.workshop import audit
from parts.workshop.refusal import Refused

from .contents import spec_of

RENEWED = ("coolant",)  # kinds that do not stay in a machine whose loop is opened


@transaction.atomic
def open_service(machine, by, *, title, purpose="", opens_loop=True, under_warranty=False):
    """Open a service for a machine that was handed over; returns its Job, with quote, plan and gates as usual.

    Its spec is the machine's as it stands now, after earlier services. What is in the machine lies in the service's
    tray as the client's own, so that only what is new is bought and charged; with the loop opened, coolant is new.
    What was waived for the machine stays waived.
    """
    if not by.is_owner:
        raise Refused(_("Only the owner opens a service."))
    if machine.serves_id:
        raise Refused(_("%(job)s is a service itself; open the next one for its machine.") % {"job": machine})
    if machine.stage != Stage.HANDED_OVER:
        raise Refused(_("%(job)s was not handed over; what is to be done belongs to its own plan.") % {"job": machine})
    job = Job.open(
        client=machine.client, title=title, by=by, kind="service", serves=machine, purpose=purpose,
        opens_loop=opens_loop, under_warranty=under_warranty, room_warmest_c=machine.room_warmest_c,
        noise_wish_db=machine.noise_wish_db,
    )  # fmt: skip
    spec = as_it_stands(machine)
    if spec is not None:
        _bring_in(spec.copy_to(job, by), job, by)
        Waiver.objects.carry_over(spec.job, job)
    audit.record(by, "opened service", f"job {machine}", after={"service": str(job), "loop opened": opens_loop})
    return job


def as_it_stands(machine):
    """The spec version of what is in the machine now: the last finished service's, else its own."""
    last = machine.services.filter(stage=Stage.HANDED_OVER).order_by("-handed_over_at", "-number").first()
    return (spec_of(last) if last else None) or spec_of(machine)


def _bring_in(spec, job, by):
    """Mark what is in the machine as the client's own, here already."""
    place = Place.named(_("in the machine"))
    for line in spec.lines.select_related("part"):
        line.client_supplied = not (job.opens_loop and line.part.kind in RENEWED)
        line.save(update_fields=["client_supplied"])
        if line.client_supplied:
            Stock.put_in(part=line.part, tray=job.tray, place=place, quantity=line.quantity, owner=Stock.CLIENTS,
                         reason=_("came back in %(machine)s") % {"machine": job.serves}, by=by)  # fmt: skip


def take_away(job, by):
    """Let the client's own parts leave the service's tray with the machine."""
    for stock in Stock.objects.lying().filter(tray=job.tray, owner=Stock.CLIENTS).select_related("part", "tray"):
        stock.take_out(quantity=stock.quantity, reason=_("left in %(machine)s") % {"machine": job.serves}, by=by)
