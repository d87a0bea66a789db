"""One commission from enquiry to hand-over, in a browser, on a parts list as a builder keeps it.

Walked twice: with JavaScript, and with it off.
"""

import datetime
import re
import subprocess

import pytest
from django.conf import settings
from django.utils import timezone
from playwright.sync_api import expect

from builds.handover.models import Pack
from builds.jobs.models import Job
from builds.labour.models import HoursEntry, Task
from builds.proving.machine import machine_of
from builds.proving.models import Gate
from builds.quotes.models import Issue
from parts.catalogue.models import Part
from parts.orders.models import Arrival, Order, OrderLine
from parts.suppliers.models import Supplier
from parts.workshop.models import TaxRule, Workshop
from tests.proving.readings import TYPED

from .builder import Builder
from .facts import FACTS

COLUMNS = {
    "Teil": "name", "Sort": "kind", "From": "supplier", "Price each": "price", "Qty": "quantity", "Remark": "remark",
}  # fmt: skip
LIST = settings.BASE_DIR / "fixtures" / "lists" / "harbour-machine.csv"
pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def workshop(owner):
    owner.set_password("bench-and-ropewalk")
    owner.save()
    Workshop.objects.update_or_create(
        pk=1, defaults={"name": "Saltmarsh Bench", "margin_percent": "15", "weekly_hours": "34"}
    )
    TaxRule.objects.create(name="Sales tax", percent=20, starts=datetime.date(2020, 1, 1))
    return owner


@pytest.fixture(params=[True, False], ids=["with-javascript", "without-javascript"])
def builder(request, browser, live_server, workshop):
    context = browser.new_context(
        java_script_enabled=request.param, viewport={"width": 1280, "height": 900}, reduced_motion="reduce"
    )
    page = context.new_page()
    page.set_default_timeout(15000)
    someone = Builder(page, live_server.url)
    someone.open("/login/")
    someone.fill(username="wright", password="bench-and-ropewalk")
    someone.press("Sign in")
    yield someone
    context.close()


def read_pdf(pdf):
    text = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True).stdout
    return re.sub(r"\s+", " ", text.decode())


def test_from_enquiry_to_hand_over(builder):
    take_the_enquiry(builder)
    read_in_the_list(builder)
    type_the_facts(builder)
    write_the_spec(builder)
    look_at_the_loop(builder)
    quote_and_agree(builder)
    buy_and_receive(builder)
    work_at_the_bench(builder)
    prove_it(builder)
    builder.open("/")
    builder.sees("Harbour cutting machine", "Harbour Films", "proving", "in hand")
    hand_it_over(builder)
    builder.open("/")
    builder.sees_not("Harbour cutting machine")


def take_the_enquiry(builder):
    builder.open("/")
    builder.press("New enquiry")
    builder.fill(title="Harbour cutting machine", client_name="Harbour Films", client_email="desk@harbour.example")
    builder.press("Open the job")
    builder.fill(room_warmest_c="27 W")
    builder.press("Save the brief")
    builder.sees("Type for example")
    builder.fill(room_warmest_c="24 °C", noise_wish_db="30 dB(A)", budget="4.500,00")
    builder.press("Save the brief")
    builder.sees("Brief saved")
    job = Job.objects.get()
    assert (job.room_warmest_c, str(job.budget)) == (24.0, "4500.00")


def read_in_the_list(builder):
    builder.open("/catalogue/import/")
    builder.page.set_input_files("[type=file]", LIST)
    builder.press("Read it")
    for heading, holds in (
        ("Teil", "name"),
        ("Sort", "kind"),
        ("From", "supplier"),
        ("Price each", "price"),
        ("Qty", "quantity"),
        ("Remark", "remark"),
    ):
        builder.page.get_by_label(heading, exact=True).select_option(holds)
    builder.press("Look through the rows")
    builder.sees("1 row has a problem", "gizmo")
    assert not Part.objects.exists(), "nothing is saved while a row has a problem"
    builder.page.locator("tr.problem select").first.select_option("consumable")
    builder.press("Check again")
    builder.press("Save all 29 rows")
    assert Part.objects.count() == 29
    assert str(Part.objects.get(name__startswith="Graphics board").prices.get().price) == "1189.0000"
    assert str(Part.objects.get(name__startswith="Radiator 3x120").prices.get().price) == "74.2000"

    northgate = Supplier.objects.get(name="Northgate Parts")
    assert northgate.currency == "GBP"
    builder.open(f"/suppliers/{northgate.pk}/edit/")
    builder.fill(usual_rate="1,17")
    builder.press("Save")


def type_the_facts(builder):
    for name, facts in FACTS.items():
        part = Part.objects.get(name=name)
        builder.open(f"/catalogue/{part.pk}/edit/")
        builder.fill(**{f"fact_{fact}": typed for fact, typed in facts.items()})
        builder.press("Save")
        assert builder.page.url.endswith(f"/catalogue/{part.pk}/"), builder.text()
    assert Part.objects.get(name="Fan 120 x 25, 1600 rpm").fact("free_flow") == pytest.approx(103.64, abs=0.01)


def write_the_spec(builder):
    builder.open("/jobs/J-0001/spec/take/")
    builder.press("harbour-machine.csv")
    builder.press("Take it over into the spec")
    builder.open("/jobs/J-0001/loop/order/")
    builder.press("Begin it")
    builder.press("Lay a usual loop: pump, blocks, radiators")
    for number, place, draws, blows in ((1, "front", "room", "case"), (2, "top", "case", "room")):
        row = builder.page.locator("li", has_text=f"radiator {number}")
        builder.press("How it runs", within=row)
        builder.fill(place=place, draws_from=draws, blows_to=blows)
        builder.press("Save")
    builder.open("/jobs/J-0001/checks/")
    builder.sees_not("stop")


def look_at_the_loop(builder):
    builder.open("/jobs/J-0001/loop/")
    builder.sees("L/min", "mean coolant over room")


def quote_and_agree(builder):
    today = timezone.localdate()
    builder.open("/jobs/J-0001/plan/")
    builder.press("Lay out the plan")
    builder.sees("Air test", "Plumb the loop")
    builder.open("/jobs/J-0001/quote/")
    builder.press("Draft the quote")
    builder.fill(valid_until=today + datetime.timedelta(days=14), promise=today + datetime.timedelta(days=60))
    builder.press("Save dates, margin and texts")
    builder.unfold("Send this issue")
    builder.press("Freeze and send")
    builder.sees("sent")
    builder.unfold("The client accepts")
    builder.fill(name="Harbour Films, A. Finch", sure=True)
    builder.press("Record the acceptance")
    issue = Issue.objects.get()
    assert issue.state == "accepted"
    assert issue.total == issue.net + issue.tax
    job = Job.objects.get()
    assert (job.stage, job.promise) == ("agreed", issue.promise)
    quote = read_pdf(builder.get(f"/jobs/J-0001/quote/{issue.quote}/1/pdf/"))
    for text in ("Saltmarsh Bench", "Harbour Films", "Radiator 3x120, 30 mm", "tax 20 %", f"{issue.total:,.2f}"):
        assert text in quote


def buy_and_receive(builder):
    builder.open("/jobs/J-0001/parts/")
    builder.press("Make these 4 orders")
    for order in Order.objects.order_by("number"):
        builder.open(f"/orders/{order}/")
        builder.press("Place the order")
    assert Job.objects.get().stage == "gathering"
    builder.open("/")
    builder.sees("waits for")
    part_of_it, *rest = Order.objects.order_by("-number")
    builder.open(f"/orders/{part_of_it}/receive/")
    builder.fill(within=builder.page.locator("form.filter"), place="shelf A")
    builder.press("Set")
    line = builder.page.locator("li.arrival").first
    builder.fill(within=line, quantity="999")
    builder.press("Take in", within=line)
    builder.sees("outstanding")
    assert not Arrival.objects.exists(), "more than was ordered is asked about, not taken in"
    builder.fill(within=builder.page.locator("li.arrival").first, quantity="1")
    builder.press("Take in", within=builder.page.locator("li.arrival").first)
    builder.sees("Taken in:")
    for order in [part_of_it, *rest]:
        builder.open(f"/orders/{order}/receive/")
        builder.fill(within=builder.page.locator("form.filter"), place="shelf A")
        builder.press("Set")
        open_lines = builder.page.locator("li.arrival form").count()
        if open_lines > 1:
            builder.unfold("All of it came, in good order")
            builder.press(f"Take in all {open_lines} lines")
            builder.sees(f"All that was outstanding on {order} is here")
        else:
            builder.press("Take in")
            builder.sees("Taken in:")
    assert not OrderLine.objects.outstanding_now().exists()


def work_at_the_bench(builder):
    builder.open("/jobs/J-0001/plan/")
    task = Task.objects.get(name="Strip the case down")
    for now in ("Stop clock", "Start clock"):
        builder.page.locator(f"#clock-{task.pk}").click()
        expect(builder.page.locator(f"#clock-{task.pk}")).to_contain_text(now)
    assert HoursEntry.objects.get().ended_at is not None
    builder.open("/hours/add/?job=J-0001")
    yesterday = timezone.localtime() - datetime.timedelta(days=1)
    builder.fill(task=str(task.pk), started_at=yesterday.strftime("%Y-%m-%dT09:00"), length="25 hours")
    builder.press("Keep")
    builder.sees("25 hours")
    builder.fill(length="1:30")
    builder.press("Keep")
    builder.sees("Strip the case down")
    builder.open("/jobs/J-0001/plan/")
    for _task in range(Task.objects.filter(proves="").count()):
        builder.page.locator("form[action$='/done/'] button").first.click()
        builder.settle()
    builder.sees("Plan")
    assert Job.objects.get().stage == "bench"


def prove_it(builder):
    builder.open("/jobs/J-0001/handover/")
    builder.sees("It stays here until these are passed or waived", "air test", "soak test")
    machine = machine_of(Job.objects.get())
    typed = {
        **TYPED,
        "air": {**TYPED["air"], "volume": f"{machine.volume_l} L"},
        "fill": {**TYPED["fill"], "volume_in": f"{0.96 * machine.volume_l:.2f} L"},
        "soak": soak_of(machine),
    }
    for kind, readings in typed.items():
        builder.open(f"/jobs/J-0001/proving/{kind}/")
        builder.fill(**{name: True if value == "on" else value for name, value in readings.items()})
        builder.press("Judge the readings")
        builder.sees("What the readings say")
        builder.fill(verdict="passed")
        builder.press("Confirm")
        builder.sees(f"{Gate(kind=kind).get_kind_display()}: passed.")
    assert set(Gate.objects.values_list("verdict", flat=True)) == {"passed"}


def soak_of(machine):
    """A soak two per cent warmer than foretold."""
    rises = {foretold.name: 1.02 * foretold.over_room for foretold in machine.predicted}
    return {
        "load": f"{machine.heat_w:.0f} W", "minutes": "80 min", "room_1": "22.0 °C",
        "coolant_1": f"{22.0 + rises['coolant']:.1f} °C", "between": "10 min", "room": "22.0 °C",
        **{name: f"{22.0 + rise:.1f} °C" for name, rise in rises.items()},
    }  # fmt: skip


def hand_it_over(builder):
    builder.open("/jobs/J-0001/handover/")
    builder.fill(received_by="A. Finch")
    builder.press("Hand over and freeze the pack")
    builder.sees("handed over")
    pack = Pack.objects.get()
    assert pack.job.stage == "handed_over"
    text = read_pdf(builder.get(f"/documents/{pack.document_id}/"))
    for word in ("Harbour Films", "Radiator 3x120, 30 mm", "air test", "soak test", "mains", "coolant", "A. Finch"):
        assert word.casefold() in text.casefold(), word
