"""What people of the demo do to a job, each by the method that the page calls."""

from datetime import datetime, time, timedelta
from decimal import Decimal

from django.utils import timezone

from builds.gathering.gathered import gather
from builds.gathering.ordering import make_orders, place, take_from_shelf
from builds.labour.models import HoursEntry
from builds.proving.logs import SoakLog
from builds.proving.machine import machine_of
from builds.proving.models import Gate
from builds.quotes.bills import Bill
from builds.quotes.models import Issue, Quote
from builds.specs.models import SpecVersion
from parts.catalogue.models import Part
from parts.shelf.models import Place

from .clock import at
from .plumbing import plumb


def write_spec(job, rows, by, tube_mm=2200, air_ml=None):
    """Choose the parts and lay a loop in the usual order; with air left in, it is closed and has no breather."""
    spec = SpecVersion.objects.for_change(job, by)
    for kind, role, part, quantity in rows:
        made = spec.add_role(kind, role, by)
        spec.put(made, Part.objects.get(kind=kind, name=part), by, quantity=Decimal(quantity))
    _feed(spec, by)
    loop = spec.add_loop(by)
    loop.tube_length_mm = tube_mm
    loop.breather, loop.air_ml = air_ml is None, air_ml
    loop.save()
    loop.lay_as_usual(by)
    plumb(spec, loop, by, tube_mm)
    return spec


def _feed(spec, by):
    """Fans hang on the board's headers, three at most; a pump draws from the supply; a cable leads to its device."""
    lines = {line.role.kind: line for line in spec.lines.select_related("role")}
    for line in spec.lines.select_related("role", "part"):
        if line.role.kind == "fan":
            outlets = min(3, int(line.quantity))
            spec.put(line.role, line.part, by, fed_from=lines["board"].role, outlets=outlets)
        elif line.role.kind in {"pump", "pump_reservoir"}:
            spec.put(line.role, line.part, by, fed_from=lines["power_supply"].role)
        elif line.role.kind == "cable":
            device = lines["graphics" if "graphics" in line.role.name else "board"]
            spec.put(line.role, line.part, by, fed_from=lines["power_supply"].role, feeds=device.role)


def send_quote(job, by, valid_days=14, promise=None):
    """Draft the quote of the newest spec and send it."""
    issue = Quote.draft(job, SpecVersion.objects.current_for(job), by)
    today = timezone.localdate()
    issue.set_terms(
        by, valid_until=today + timedelta(days=valid_days), promise=promise, margin_percent=issue.margin_percent
    )
    issue.refresh_from_db()
    issue.send(by)
    return issue


def pay(job, by, stage=0, days=7, paid=True):
    """Bill a stage payment; pay it too, unless it stays open."""
    payment = list(Issue.objects.agreed_for(job).stage_payments.all())[stage]
    bill = Bill.raise_for(payment, by, timezone.localdate() + timedelta(days=days))
    if paid:
        bill.record_payment(by, bill.amount, timezone.localdate(), "by transfer")


def buy(job, by, promised=None):
    """Order what the agreed spec asks for, as its buy list proposes; what lies on the shelf goes into the tray."""
    for part in {row.line.part for row in gather(job).rows if row.fill.shelf}:
        take_from_shelf(job, part, by)
    orders = make_orders(job, by, join=False)
    for order in orders:
        order.refresh_from_db()
        order.reference = f"{order.supplier.name[:3].upper()}-{4400 + order.number}"
        order.save()
        place(order, by, promised=(promised or {}).get(order.supplier.name))
    return orders


def take_in(orders, by, without=(), serials=("graphics", "board", "processor", "pump_reservoir", "power_supply")):
    """Everything of the orders comes in good condition, but for the parts of some kinds."""
    place = Place.named("shelf A")
    for order in orders:
        for line in order.lines.select_related("part"):
            if line.part.kind in without:
                continue
            numbered = line.part.kind in serials and line.quantity == 1
            numbers = [f"{line.part.kind[:2].upper()}{line.pk:05d}"] if numbered else []
            line.receive(line.quantity, by, place=place, serials=numbers)


def work(job, by, start, until=None, spent=Decimal("1.05")):
    """Do the tasks in their order, up to but without one by its name; hours are logged from `start` on."""
    for task in job.tasks.order_by("position", "pk"):
        if task.name == until:
            return
        if not task.is_done:
            start = _log(task, by, start, task.hours_likely * spent)


def _log(task, by, moment, hours):
    """Log a task's hours in stretches of at most six, finish it, and say when the next one may begin."""
    left = float(hours)
    while left > 0:
        end = moment + timedelta(hours=min(left, 6.0))
        with at(end):
            HoursEntry.enter(task=task, person=by, started_at=moment, ended_at=end, by=by)
            left -= 6.0
            if left <= 0:
                task.finish(by)
        moment = _next_morning(end) if end.hour >= 14 else end
    return moment


def _next_morning(moment):
    day = moment.date() + timedelta(days=1 if moment.weekday() < 4 else 7 - moment.weekday())
    return datetime.combine(day, time(8, 30), tzinfo=moment.tzinfo)


def measure(job, kind, by, readings, confirmed="passed", signed_by="", remark="", photo=None):
    """Record a gate's readings, with a photo or without, and stand by the verdict."""
    gate = next(gate for gate in Gate.objects.open_for(job, by) if gate.kind == kind)
    gate.record(readings, by, machine=machine_of(job), signed_by=signed_by, photo=photo)
    gate = Gate.objects.with_trials().get(pk=gate.pk)
    gate.confirm(confirmed, by, remark)


def soak_by_log(job, by, data):
    """Read in a bench log, its columns as guessed from their headings, and stand by what it says."""
    log = SoakLog.begin(job, "soak-bench-2.csv", data, by)
    log.match(log.targets, {"temperature": "degC", "time": "s", "from_minute": 0.0}, None, by)
    Gate.objects.with_trials().get(pk=log.gate_id).confirm("passed", by)
