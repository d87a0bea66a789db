"""What stands in a hand-over pack, gathered from the job; the same for the preview and the frozen paper."""

from django.utils import timezone
from django.utils.translation import gettext as _

from builds.plots.paper import data_uri
from builds.proving.machine import machine_of
from builds.proving.record import record_of, waived_of
from builds.sheets.models import Document
from builds.specs.models import SpecVersion
from parts.shelf.models import Move, Unit, months_later

from .account import account_of
from .care import FILL_STEPS, HOW, care_dates
from .cautions import CAUTIONS, TOUCH
from .drawing import drawings_of


def contents_of(pack, workshop, preview=False):
    """The context of the pack's template for a Pack, saved or not; of a service that of its supplement."""
    job = pack.job
    spec = spec_of(job)
    gates = record_of(job, on_paper=True)
    account = account_of(job)
    drawn = drawings_of(spec)
    supplement = _supplement(pack, spec) if job.serves_id else {}
    return {
        "title": job.title, "issue": 1, "owed": pack.still_owed,
        "state": _("preview") if preview else "",
        "workshop": workshop, "job": job, "pack": pack, "spec": spec,
        "roles": spec_rows(job, spec),
        "loops": [{**one, "picture": data_uri(one["picture"])} for one in drawn],
        "gates": gates, "waived": waived_of(job, workshop), "soak": _soak(gates),
        "care": care_of(pack), "how": HOW, "cautions": CAUTIONS, "touch": TOUCH,
        "fill": None if pack.filled else _fill_sheet(job, spec),
        "account": account if pack.with_account else None,
        "variations": account["variations"] if account else [],
        "today": timezone.localdate(),
        **supplement,
    }  # fmt: skip


def template_of(pack):
    """The template of a pack, or of the supplement that a service's pack is."""
    return "sheets/supplement.html" if pack.job.serves_id else "sheets/pack.html"


def _supplement(pack, spec):
    """What a service's pack says otherwise: its place among the machine's papers, and what is new in the machine."""
    machine = pack.job.serves
    issue = pack.document.issue if pack.document_id else _papers(machine).count() + 1
    told = {"n": issue - 1, "machine": machine}
    gates = [row for row in record_of(pack.job, on_paper=True) if row["trials"] or row["gate"].is_due]
    return {
        "title": _("Supplement %(n)d to the hand-over pack of %(machine)s") % told, "issue": issue, "gates": gates,
        "machine": machine, "new": _new_rows(pack.job, spec), "care": machine.care_dates.open(),
        "cared": machine.care_dates.filter(done_by=pack.job),
    }  # fmt: skip


def _papers(machine):
    return Document.objects.filter(kind="pack", number=str(machine))


def _new_rows(job, spec):
    """Rows of a service's spec that are new in the machine, each with the part it took the place of."""
    first = job.spec_versions.order_by("number").first()
    was = {}
    if first is not None and first.based_on_id:
        was = {line.role.name: line.part.name for line in first.based_on.lines.select_related("role", "part")}
    rows = [row for row in spec_rows(job, spec) if not row["client_supplied"]]
    return [{**row, "instead": was.get(row["role"], "")} for row in rows]


def spec_of(job):
    """The agreed spec version of a job, else the one being worked on."""
    return SpecVersion.objects.agreed_for(job) or SpecVersion.objects.current_for(job)


def spec_rows(job, spec):
    """[{role, part, quantity, unit, serials, warranty}] of a spec, in the order of its roles; four queries.

    serials: of the units in the job's tray, given to the roles of their part in order. warranty: until when, from
    the day the part came in; the earliest of a row's units, or None when nobody knows or the client brought it.
    """
    if spec is None:
        return []
    units = {}
    for unit in Unit.objects.filter(tray=job.tray, left=None).order_by("serial"):
        units.setdefault(unit.part_id, []).append(unit)
    came = Move.came_in(job.tray, spec.lines.values("part"))
    rows = []
    for line in spec.lines.select_related("role", "part"):
        mine = _take(units.get(line.part_id, []), int(line.quantity) or 1)
        rows.append({
            "role": line.role.name, "part": line.part, "quantity": line.quantity, "unit": line.part.unit,
            "client_supplied": line.client_supplied, "remark": line.remark,
            "serials": [unit.serial for unit in mine], "warranty": _warranty(line, mine, came),
        })  # fmt: skip
    return rows


def _take(units, count):
    taken, units[:count] = units[:count], []
    return taken


def _warranty(line, units, came):
    if line.client_supplied:  # who sold it to him, and when, is his to know
        return None
    known = [unit.warranty_until for unit in units if unit.warranty_until]
    if known:
        return min(known)
    months, at = line.part.warranty_months, came.get(line.part_id)
    return months_later(timezone.localdate(at), months) if months and at else None


def coolant_of(spec):
    """The coolant's Part in a spec, with its facts, or None."""
    if spec is None:
        return None
    lines = spec.lines.filter(part__kind="coolant").select_related("part").prefetch_related("part__facts")
    return next((line.part for line in lines), None)


def _fill_sheet(job, spec):
    """What somebody needs who fills a machine that left drained."""
    return {"volume": machine_of(job).volume_l, "coolant": coolant_of(spec), "steps": FILL_STEPS}


def care_of(pack):
    """The care dates that follow from a hand-over, from the coolant's facts and whether it left filled."""
    if pack.job.serves_id:
        fill_by = care_dates(pack.on, has_loop=True, filled=pack.filled)
        return tuple(care for care in fill_by if care.months is None)  # the rest goes on as it did
    spec = spec_of(pack.job)
    coolant = coolant_of(spec)
    return care_dates(
        pack.on,
        has_loop=coolant is not None or (spec is not None and spec.loops.exists()),
        filled=pack.filled,
        life=coolant.fact("life") if coolant else None,
        appearance=coolant.fact("appearance") if coolant else None,
    )


def _soak(gates):
    """The newest judged soak trial with its comparison, or None."""
    trials = next(row["trials"] for row in gates if row["gate"].kind == "soak")
    return next((one for one in trials if one["comparison"] and not one["trial"].is_running), None)


def data_of(contents):
    """The pack as data, kept beside the PDF."""
    pack = contents["pack"]
    return {
        "job": str(contents["job"]), "title": contents["title"], "on": pack.on.isoformat(), "way": pack.way,
        "filled": pack.filled, "received_by": pack.received_by, "owed": contents["owed"],
        "parts": [
            {
                "role": row["role"], "part": row["part"].name, "quantity": str(row["quantity"]),
                "serials": row["serials"], "warranty": row["warranty"] and row["warranty"].isoformat(),
            }
            for row in contents["roles"]
        ],
        "gates": [
            {"kind": row["gate"].kind, "verdict": row["gate"].verdict, "reason": row["gate"].reason}
            for row in contents["gates"]
        ],
        "care": [{"due": care.due.isoformat(), "what": care.what} for care in contents["care"]],
        "loops": [loop["data"] for loop in contents["loops"] if loop["data"]],
    }  # fmt: skip
