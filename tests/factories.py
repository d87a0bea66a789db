"""Rows to test with; all names invented."""

from decimal import Decimal

import factory
from factory.django import DjangoModelFactory

from builds.clients.models import Client
from builds.jobs.models import Job
from builds.labour.models import Task, WorkKind
from builds.specs.models import Loop, Role, SpecLine, SpecVersion, Step
from parts.catalogue.models import Fact, Part
from parts.shelf.models import Place, Tray
from parts.suppliers.models import Supplier, SupplierPrice
from parts.workshop.models import Once, Person


def once(**data):
    """POST data with a fresh one-time mark."""
    return {"once": Once.fresh(), **data}


class PersonFactory(DjangoModelFactory):
    class Meta:
        model = Person
        skip_postgeneration_save = True

    username = factory.Sequence(lambda n: f"person{n}")
    role = "owner"


class ClientFactory(DjangoModelFactory):
    class Meta:
        model = Client

    name = factory.Sequence(lambda n: f"Client {n}")


class JobFactory(DjangoModelFactory):
    class Meta:
        model = Job

    number = factory.Sequence(lambda n: 100 + n)
    title = factory.Sequence(lambda n: f"Machine {n}")
    client = factory.SubFactory(ClientFactory)
    tray = factory.LazyAttribute(lambda job: Tray.objects.create(name=f"J-{job.number:04d}"))


class PartFactory(DjangoModelFactory):
    """A part; facts={"thickness": 30.0} gives it declared facts."""

    class Meta:
        model = Part
        skip_postgeneration_save = True

    kind = "other"
    name = factory.Sequence(lambda n: f"Part {n}")

    @factory.post_generation
    def facts(self, create, extracted, **kwargs):
        for name, value in (extracted or {}).items():
            text = isinstance(value, str)
            Fact.objects.create(part=self, name=name, number=None if text else value, text=value if text else "")


class SupplierFactory(DjangoModelFactory):
    class Meta:
        model = Supplier

    name = factory.Sequence(lambda n: f"Supplier {n}")


class SupplierPriceFactory(DjangoModelFactory):
    class Meta:
        model = SupplierPrice

    part = factory.SubFactory(PartFactory)
    supplier = factory.SubFactory(SupplierFactory)
    price = Decimal("10.00")


class PlaceFactory(DjangoModelFactory):
    class Meta:
        model = Place

    name = factory.Sequence(lambda n: f"Place {n}")


class RoleFactory(DjangoModelFactory):
    class Meta:
        model = Role

    job = factory.SubFactory(JobFactory)
    kind = "other"
    name = factory.Sequence(lambda n: f"role {n}")


class SpecVersionFactory(DjangoModelFactory):
    class Meta:
        model = SpecVersion

    job = factory.SubFactory(JobFactory)
    number = 1


class SpecLineFactory(DjangoModelFactory):
    class Meta:
        model = SpecLine

    spec = factory.SubFactory(SpecVersionFactory)
    part = factory.SubFactory(PartFactory)
    role = factory.LazyAttribute(
        lambda line: RoleFactory(job=line.spec.job, kind=line.part.kind, name=f"{line.part.kind} of {line.part.name}")
    )


class LoopFactory(DjangoModelFactory):
    class Meta:
        model = Loop

    spec = factory.SubFactory(SpecVersionFactory)


class StepFactory(DjangoModelFactory):
    class Meta:
        model = Step

    loop = factory.SubFactory(LoopFactory)
    position = factory.Sequence(lambda n: n)


class WorkKindFactory(DjangoModelFactory):
    class Meta:
        model = WorkKind

    name = factory.Sequence(lambda n: f"work {n}")
    rate = Decimal("40.00")


class TaskFactory(DjangoModelFactory):
    class Meta:
        model = Task

    job = factory.SubFactory(JobFactory)
    name = factory.Sequence(lambda n: f"task {n}")
    position = factory.Sequence(lambda n: n)
    work_kind = factory.SubFactory(WorkKindFactory)
    hours_low, hours_likely, hours_high = Decimal(1), Decimal(2), Decimal(4)
