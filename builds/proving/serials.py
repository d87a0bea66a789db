"""Serial numbers of the machine's parts, read off at the bench."""

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from parts.catalogue.models import Part
from parts.kinds import all_kinds
from parts.shelf.models import Move, Unit, months_later
from parts.workshop import audit
from parts.workshop.refusal import Refused


def parts_of(spec):
    """Parts of a spec that may carry a serial number: what is counted in pieces."""
    if spec is None:
        return Part.objects.none()
    kinds = [kind.key for kind in all_kinds().values() if kind.unit == "each"]
    return Part.objects.filter(spec_lines__spec=spec, kind__in=kinds).distinct()


@transaction.atomic
def write_serial(job, part, serial, by):
    """Write down the serial number of an item in the job's tray; returns the Unit.

    Its warranty counts from the day the part came in. Raises Refused at `serial` when it is known already.
    """
    serial = " ".join(serial.split())
    if not serial:
        raise Refused(_("Type the serial number as it stands on the part."), "serial")
    known = Unit.objects.filter(part=part, serial__iexact=serial).select_related("tray").first()
    if known:
        raise Refused(
            _("%(part)s no. %(serial)s is known already, in %(tray)s.")
            % {"part": part, "serial": known.serial, "tray": known.tray},
            "serial",
        )
    came = Move.objects.filter(part=part, target__tray=job.tray).order_by("at").last()
    since = Move.came_in(job.tray, [part]).get(part.pk)
    until = months_later(timezone.localdate(since), part.warranty_months) if since and part.warranty_months else None
    unit = Unit.objects.create(part=part, serial=serial, tray=job.tray, received=came, warranty_until=until)
    audit.record(by, "wrote serial", f"job {job}", after={"part": str(part), "serial": serial})
    return unit
