"""A finished machine to hand over."""

from decimal import Decimal

from builds.quotes.models import Issue, Quote
from parts.shelf.models import Place, Stock
from tests.factories import ClientFactory, JobFactory, LoopFactory, PartFactory, SpecLineFactory, SpecVersionFactory
from tests.factories import StepFactory as Step
from tests.proving.readings import passed


def built(by, ready=True):
    """A job with parts in its tray, a loop and, when ready, every gate passed."""
    client = ClientFactory(name="Studio Halvorsen", email="studio@example.org")
    job = JobFactory(title="Cutting-room machine", client=client, stage="bench")
    spec = SpecVersionFactory(job=job)
    loop = LoopFactory(spec=spec, tube_length_mm=1800.0)
    for kind, name, facts, months in (
        ("pump_reservoir", "pump with tank", {"volume": 300.0, "max_pressure": 1.0}, 24),
        ("processor_block", "processor block", {"volume": 50.0, "max_pressure": 1.0}, 36),
        ("radiator", "front radiator 360", {"volume": 600.0, "max_pressure": 1.0}, None),
    ):
        part = PartFactory(kind=kind, name=name, facts=facts, warranty_months=months)
        Step(loop=loop, line=SpecLineFactory(spec=spec, part=part))
        serials = [f"SN-{kind}"] if months else []
        Stock.put_in(part=part, tray=job.tray, place=Place.named("bench"), quantity=1, reason="came in", by=by,
                     serials=serials)  # fmt: skip
    SpecLineFactory(spec=spec, part=PartFactory(kind="tube", name="soft tube", facts={"bore": 10.0}))
    SpecLineFactory(
        spec=spec, quantity=Decimal("1.5"),
        part=PartFactory(kind="coolant", name="blue coolant", facts={"appearance": "dyed", "fluid": "water"}),
    )  # fmt: skip
    if ready:
        passed(job, by)
    return job


def agreed(job, total="4200.00", alters=None, number=1):
    """An accepted issue of the job's quote, as the quotes room leaves it."""
    quote = Quote.objects.create(job=job, number=number, alters=alters)
    return Issue.objects.create(
        quote=quote, number=1, spec=job.spec_versions.first(), state="accepted", currency="EUR",
        margin_percent=Decimal("31.7"), total=Decimal(total), decided_by="A. Halvorsen",
    )  # fmt: skip


FORM = {"way": "collected", "filled": "yes", "received_by": "A. Halvorsen", "with_account": "on"}
