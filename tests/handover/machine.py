"""A finished machine to hand over."""

from decimal import Decimal

from builds.proving.machine import machine_of
from builds.quotes.models import Issue, Quote
from parts.catalogue.models import Part
from parts.shelf.models import Place, Stock
from tests.factories import (
    ClientFactory,
    JobFactory,
    LoopFactory,
    PartFactory,
    RoleFactory,
    SpecLineFactory,
    SpecVersionFactory,
    StepFactory,
)
from tests.proving.readings import passed, recorded

# The loop of the thermal model's check figures: at three quarters of fan speed the coolant runs 9.15 K over the
# room, the processor 22.01 K and the graphics board 22.35 K (an independent calculation; see tests/thermal).
RUN = {"reference_flow": 3.8, "volume": 60.0, "max_pressure": 1.0}
PARTS = (
    ("pump_reservoir", "pump with tank", {"max_flow": 16.0, "max_pressure_head": 45.0, "heat": 15.0, "volume": 300.0,
                                          "max_pressure": 1.0}, 24),
    ("processor", "sixteen-core processor", {"heat": 120.0, "limit": 90.0}, 36),
    ("processor_block", "processor block", {"resistance": 0.12, "reference_drop": 9.0, **RUN}, 36),
    ("graphics", "graphics board", {"heat": 180.0, "limit": 88.0}, 24),
    ("graphics_block", "graphics block", {"resistance": 0.08, "reference_drop": 6.0, **RUN}, None),
    ("radiator", "front radiator 360", {"sections": 3.0, "section_size": 120.0, "core_depth": 20.0, "thickness": 32.0,
     "fins_per_inch": 16.0, "reference_drop": 2.5, **RUN, "volume": 500.0}, None),
    ("fan", "quiet fan 120", {"free_flow": 111.6, "max_pressure": 18.0, "sound_level": 24.0}, 60),
    ("tube", "soft tube", {"bore": 10.0}, None),
    ("coolant", "blue coolant", {"appearance": "dyed", "fluid": "water"}, None),
)  # fmt: skip
ROLES = {"fan": "front fans", "radiator": "front radiator", "pump_reservoir": "pump and reservoir"}
MANY = {"fan": 3, "coolant": Decimal("1.5"), "tube": 2}
SERIALS = ("pump_reservoir", "processor", "graphics")


def built(by, ready=True):
    """A job with parts in its tray, a loop that solves and, when ready, every gate passed."""
    client = ClientFactory(name="Studio Halvorsen", email="studio@example.org")
    job = JobFactory(title="Cutting-room machine", client=client, stage="bench", room_warmest_c=27.0)
    spec = SpecVersionFactory(job=job)
    lines = {kind: _line(spec, kind, name, facts, months) for kind, name, facts, months in PARTS}
    bench = Place.named("bench")
    for kind, line in lines.items():
        serials = [f"SN-{kind}-{job.number}"] if kind in SERIALS else []
        Stock.put_in(part=line.part, tray=job.tray, place=bench, quantity=line.quantity, reason="came in", by=by,
                     serials=serials)  # fmt: skip
    loop = LoopFactory(spec=spec, tube_length_mm=2000.0, fitting_loss=12.0, case_heat_w=0.0)
    StepFactory(loop=loop, line=lines["pump_reservoir"], speed=1.0)
    StepFactory(loop=loop, line=lines["processor_block"])
    StepFactory(loop=loop, line=lines["graphics_block"])
    StepFactory(loop=loop, line=lines["radiator"], speed=0.75, fans=lines["fan"].role, fan_count=3, grille_loss=0.0)
    if ready:
        passed(job, by, ["air", "wet", "fill", "electrical"])
        soaked(job, by)
    return job


def soaked(job, by, **changed):
    """The soak test, passed: 300 W in a room of 22.4 °C."""
    machine = machine_of(job, 300.0, 22.4)
    measured = {"load": 300.0, "minutes": 75.0, "room_1": 22.3, "coolant_1": 31.6, "between": 15.0, "room": 22.4,
                "coolant": 31.8}  # fmt: skip
    for predicted, value in zip(machine.predicted[1:], (45.1, 43.2), strict=True):
        measured[predicted.name] = value
    recorded(job, "soak", by, machine=machine, **{**measured, **changed}).confirm("passed", by)


def _line(spec, kind, name, facts, months):
    role = RoleFactory(job=spec.job, kind=kind, name=ROLES.get(kind, kind.replace("_", " ")))
    part = _part(kind, name, facts, warranty_months=months)
    return SpecLineFactory(spec=spec, role=role, part=part, quantity=MANY.get(kind, 1))


def _part(kind, name, facts, **more):
    return Part.objects.filter(kind=kind, name=name).first() or PartFactory(kind=kind, name=name, facts=facts, **more)


def agreed(job, total="4200.00", alters=None, number=1):
    """An accepted issue of the job's quote, as the quotes room leaves it."""
    quote = Quote.objects.create(job=job, number=number, alters=alters)
    return Issue.objects.create(
        quote=quote, number=1, spec=job.spec_versions.first(), state="accepted", currency="EUR",
        margin_percent=Decimal("31.7"), total=Decimal(total), decided_by="A. Halvorsen",
    )  # fmt: skip


FORM = {"way": "collected", "filled": "yes", "received_by": "A. Halvorsen", "with_account": "on"}
