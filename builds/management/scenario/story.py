"""The demo's story: a workshop by the salt marsh and its jobs, told forward on a clock of its own."""

from decimal import Decimal

from django.conf import settings
from django.db import transaction

from builds.clients.models import Client
from builds.handover.models import Pack
from builds.handover.service import open_service
from builds.jobs.models import Job
from builds.labour.models import HoursEntry
from builds.labour.seeding import load_pattern
from builds.proving.machine import machine_of
from builds.quotes.models import Quote
from builds.specs.models import SpecVersion
from parts.catalogue.models import Part
from parts.suppliers.seeding import load_catalogue
from parts.workshop.models import Counter, Person, TaxRule, Workshop

from . import acts, machines, readings
from .bench_log import gauge_photo, paper_photo, soak_log
from .cable_book import fill_cable_book
from .clock import day, on
from .plumbing import waive_bleeding

FIXTURES = settings.BASE_DIR / "fixtures"


@transaction.atomic
def tell(owner_name, helper_name, password):
    """Fill an empty database with the demo; all of it, or nothing."""
    with on(-120):
        wright, hand = open_workshop(owner_name, helper_name, password)
    for chapter in (render_node, cold_lab, flight_deck, cutting_room, second_node, pale_ash, console, joint_renewed):
        chapter(wright, hand)


def open_workshop(owner_name, helper_name, password):
    wright = Person.objects.create_user(
        owner_name, password=password, role=Person.OWNER, first_name="Ines", last_name="Marsh"
    )
    hand = Person.objects.create_user(helper_name, password=password, first_name="Jonas", last_name="Reed")
    Workshop.objects.update_or_create(
        pk=1,
        defaults={
            "name": "Saltmarsh Bench", "address": "Unit 4, The Old Ropewalk\nHarbour Lane\nSaltmarsh",
            "email": "hello@saltmarsh.example", "phone": "01 555 0142", "country": "AT", "tax_number": "ATU00000000",
            "currency": "EUR", "weekly_hours": Decimal(34), "margin_percent": Decimal(14),
            "included_text": "All parts and work listed, proving for at least 24 hours, the spec-and-care sheet.",
            "excluded_text": "Software licences, carriage, work at your premises.",
            "terms_text": "Lead time counts from the last part's arrival. Two years on our work; makers' own terms on "
            "parts. Cancelled before the order of parts: nothing is owed. Your statutory rights are not affected.",
        },
    )  # fmt: skip
    TaxRule.objects.create(name="Sales tax", percent=Decimal(20), starts=day(-900))
    for series, last in (("job", 30), ("quote", 40), ("order", 60), ("bill", 20)):
        Counter.objects.create(series=series, last=last)
    load_catalogue(FIXTURES / "demo" / "catalogue.json", by=wright)
    load_pattern(FIXTURES / "patterns" / "usual.json", by=wright)
    return wright, hand


def enquiry(by, name, title, **brief):
    contact = brief.pop("contact", {})
    client, _new = Client.objects.get_or_create(name=name, defaults=contact)
    return Job.open(client=client, title=title, by=by, **brief)


def fresh(job):
    return Job.objects.select_related("client", "tray").get(pk=job.pk)


def agree(job, by, name, promise):
    """Quote a job today; the client accepts."""
    acts.send_quote(job, by, promise=promise).accept(by, name)
    return fresh(job)


def prove(job, by, upto="soak"):
    """The gates one after another, in order; the soak, by its log, comes out a little warmer than foretold."""
    machine = machine_of(job)
    acts.measure(job, "air", by, readings.AIR | {"volume": machine.volume_l}, photo=gauge_photo())
    acts.measure(job, "wet", by, readings.WET, photo=paper_photo())
    acts.measure(job, "fill", by, readings.FILL | {"volume_in": round(0.96 * machine.volume_l, 2)})
    acts.measure(job, "electrical", by, readings.ELECTRICAL, signed_by=readings.SIGNED_BY)
    if upto == "soak":
        acts.soak_by_log(job, by, soak_log(machine))


def render_node(wright, hand):
    """Handed over six weeks ago, measured against predicted."""
    with on(-112):
        job = enquiry(
            wright, "Pellworm Architects", "Render node for a drawing office",
            contact={"contact": "K. Pellworm", "email": "office@pellworm.example", "phone": "01 555 0120"},
            purpose="Renders overnight, drawn on by day; stands beside the plotter.", theme="slate and nickel",
            budget=Decimal(7000), noise_wish_db=34.0, room_warmest_c=24.0,
        )  # fmt: skip
        waive_bleeding(acts.write_spec(job, machines.RENDER_NODE, wright, tube_mm=2600), wright)
        job = agree(job, wright, "K. Pellworm", day(-45))
        acts.pay(job, wright)
    with on(-110):
        orders = acts.buy(job, wright)
    with on(-96):
        acts.take_in(orders, hand)
    with on(-92, 9) as start:
        acts.work(job, hand, start, until="Air test")
    with on(-60):
        prove(fresh(job), wright)
    with on(-59, 8) as start:
        acts.work(fresh(job), hand, start, spent=Decimal("0.9"))
    with on(-46):
        acts.pay(fresh(job), wright, stage=1)
        Pack.hand_over(fresh(job), wright, way="delivered", received_by="K. Pellworm", filled=True)


def cold_lab(wright, hand):
    """In proving: all tests but the soak are passed."""
    with on(-64):
        job = enquiry(
            wright, "Brae Marine Institute", "Statistics box for a cold lab",
            contact={"contact": "Dr A. Brae", "email": "lab@braemarine.example", "phone": "01 555 0177"},
            purpose="Runs long models in an unheated lab.", theme="sand", budget=Decimal(3600), noise_wish_db=30.0,
            room_warmest_c=18.0,
        )  # fmt: skip
        acts.write_spec(job, machines.COLD_LAB, wright, tube_mm=1500, air_ml=150.0)
        job = agree(job, wright, "Dr A. Brae", day(3))
        acts.pay(job, wright)
    with on(-62):
        orders = acts.buy(job, wright)
    with on(-50):
        acts.take_in(orders, hand)
    with on(-44, 9) as start:
        acts.work(job, wright, start, until="Air test")
    with on(-4):
        prove(fresh(job), wright, upto="electrical")
        acts.pay(fresh(job), wright, stage=1, paid=False, days=10)


def flight_deck(wright, hand):
    """On the bench, everything here; the client wishes for a second radiator's worth of quiet."""
    with on(-40):
        job = enquiry(
            wright, "T. Oyelaran", "Flight-deck simulator",
            contact={"email": "t.oyelaran@post.example", "phone": "01 555 0163"},
            purpose="A home cockpit: three screens, long evenings.", theme="slate, copper tube marks",
            room_warmest_c=26.0, budget=Decimal(5200), noise_wish_db=30.0, client_supplies="The flight controls.",
        )  # fmt: skip
        waive_bleeding(acts.write_spec(job, machines.FLIGHT_DECK, wright), wright)
        job = agree(job, wright, "T. Oyelaran", day(14))
        acts.pay(job, wright)
    with on(-37):
        orders = acts.buy(job, wright)
    with on(-22):
        acts.take_in(orders, hand)
    with on(-17, 8, 30) as start:
        acts.work(job, hand, start, until="Fit blocks")
    with on(-16):
        fill_cable_book(job, hand)
    with on(-1):
        spec = SpecVersion.objects.for_change(fresh(job), wright)
        role = spec.job.roles.get(name="fans")
        spec.put(role, Part.objects.get(name="Fan 120 × 25, 1200 rpm"), wright, remark="quieter ones, by telephone")
        Quote.vary(fresh(job), spec, wright)
    task = job.tasks.get(name="Fit blocks")
    HoursEntry.start(task, hand)


def cutting_room(wright, hand):
    """Gathering, and late by one part: the graphics board."""
    with on(-30):
        job = enquiry(
            wright, "Marlow & Finch Films", "Quiet cutting-room workstation",
            contact={"contact": "D. Finch", "email": "desk@marlowfinch.example", "phone": "01 555 0101"},
            purpose="Cutting film in a small room; must not be heard.", theme="sand and brass",
            budget=Decimal(5600), noise_wish_db=27.0, room_warmest_c=25.0, deadline=day(24),
        )  # fmt: skip
        acts.write_spec(job, machines.CUTTING_ROOM, wright)
    with on(-26):
        job = agree(job, wright, "D. Finch", day(18))
        acts.pay(job, wright, paid=False, days=14)
    with on(-24):
        orders = acts.buy(job, wright, promised={"Northgate Parts": day(22)})
    with on(-15):
        acts.take_in(orders, hand, without={"graphics"})
    with on(-8, 8, 30) as start:
        acts.work(job, wright, start, until="Re-tap radiator threads")


def second_node(wright, hand):
    """Agreed on; nothing is ordered yet."""
    with on(-9):
        job = enquiry(
            wright, "Pellworm Architects", "A second render node", purpose="The same again, for the branch office.",
            theme="slate and nickel", budget=Decimal(7200), noise_wish_db=34.0, room_warmest_c=24.0,
        )  # fmt: skip
        waive_bleeding(acts.write_spec(job, machines.RENDER_NODE, wright, tube_mm=2600), wright)
    with on(-3):
        job = agree(job, wright, "K. Pellworm", day(70))
        acts.pay(job, wright, paid=False)


def pale_ash(wright, hand):
    """Quoted; the issue lapses in a few days."""
    with on(-12):
        job = enquiry(
            wright, "R. Castellanos", "Small studio machine in pale ash",
            contact={"email": "studio@castellanos.example"}, purpose="Sound recording beside the singer.",
            theme="pale ash, undyed leather", budget=Decimal(2400), noise_wish_db=24.0, room_warmest_c=25.0,
        )  # fmt: skip
        acts.write_spec(job, machines.PALE_ASH, wright, tube_mm=1100)
        acts.send_quote(job, wright, promise=day(45))


def console(wright, hand):
    """An enquiry whose brief still lacks the room; its first draft of a spec holds two stops."""
    with on(-2):
        job = enquiry(
            wright, "S. Lindqvist", "Living-room console, one radiator",
            contact={"email": "s.lindqvist@post.example"}, purpose="Games on the big screen.", budget=Decimal(2000),
        )  # fmt: skip
        acts.write_spec(job, machines.CONSOLE, wright, tube_mm=1200)


def joint_renewed(wright, hand):
    """A later service of the render node, under warranty: opened, tested again, and back with a supplement."""
    machine = Job.objects.get(title="Render node for a drawing office")
    with on(-21):
        job = open_service(
            machine, wright, title="Joint at the pump that sweated", purpose="A drop under the pump after a move.",
            opens_loop=True, under_warranty=True,
        )  # fmt: skip
    with on(-19):
        held = machine_of(job)
        acts.measure(job, "air", hand, readings.AIR | {"volume": held.volume_l})
        acts.measure(job, "wet", hand, readings.WET)
        acts.measure(job, "fill", hand, readings.FILL | {"volume_in": round(0.97 * held.volume_l, 2)})
    with on(-17):
        Pack.hand_over(fresh(job), wright, way="collected", received_by="K. Pellworm", filled=True)
