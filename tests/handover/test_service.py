"""A machine that comes back: its service job, what is due again, what is charged, and the supplement it leaves with."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from builds.board.sight import look
from builds.checks.models import Waiver
from builds.handover.models import Pack
from builds.handover.service import open_service
from builds.jobs.models import Job
from builds.proving.models import Gate
from builds.quotes.models import Quote
from builds.specs.models import SpecVersion
from builds.specs.sanity import findings_of
from parts.shelf.models import Place, Stock, Unit
from parts.workshop.models import Workshop
from parts.workshop.refusal import Refused
from tests.factories import JobFactory, PartFactory, TaskFactory, once
from tests.proving.readings import gate_of, passed, recorded
from tests.sheets.reading import text_of

from .machine import FORM, built

pytestmark = pytest.mark.django_db


@pytest.fixture
def machine(owner):
    """A machine that was handed over."""
    job = built(owner)
    Pack.hand_over(job, owner, way="collected", received_by="A. Halvorsen")
    return Job.objects.get(pk=job.pk)


def open_one(machine, owner, **said):
    return open_service(machine, owner, **{"title": "change the coolant", **said})


def swap_pump(service, owner):
    """Another pump in the pump's role, in the tray with its serial number."""
    spec = SpecVersion.objects.for_change(service, owner)
    role = service.roles.get(kind="pump_reservoir")
    pump = PartFactory(kind="pump_reservoir", name="quieter pump", warranty_months=24,
                       facts={"max_flow": 16.0, "max_pressure_head": 45.0, "heat": 15.0, "volume": 300.0})  # fmt: skip
    spec.put(role, pump, owner)
    Stock.put_in(part=pump, tray=service.tray, place=Place.named("bench"), quantity=1, reason="came in", by=owner,
                 serials=["NEW-1"])  # fmt: skip
    return pump


def test_it_brings_the_machines_spec_and_loop_with_roles_of_its_own(owner, machine):
    service = open_one(machine, owner)
    assert (service.kind, service.serves, service.client) == ("service", machine, machine.client)
    spec, was = SpecVersion.objects.current_for(service), SpecVersion.objects.current_for(machine)
    assert [line.part_id for line in spec.lines.all()] == [line.part_id for line in was.lines.all()]
    assert not set(spec.lines.values_list("role", flat=True)) & set(was.lines.values_list("role", flat=True))
    steps = spec.loops.get().steps.all()
    assert len(steps) == 4
    assert {step.fans.job_id for step in steps if step.fans_id} == {service.pk}


def test_what_is_in_the_machine_is_here_and_only_coolant_is_missing(owner, machine):
    service = open_one(machine, owner)
    spec = SpecVersion.objects.current_for(service)
    assert [line.part.kind for line in spec.lines.filter(client_supplied=False)] == ["coolant"]
    held = Stock.objects.lying().filter(tray=service.tray)
    assert {stock.owner for stock in held} == {Stock.CLIENTS}
    assert held.count() == spec.lines.count() - 1


def test_with_the_loop_closed_nothing_is_new(owner, machine):
    service = open_one(machine, owner, opens_loop=False)
    assert not SpecVersion.objects.current_for(service).lines.filter(client_supplied=False).exists()


def test_opening_the_loop_makes_air_test_wet_test_and_bleed_due(owner, machine):
    service = open_one(machine, owner)
    assert Gate.objects.blocking(service) == ["air", "wet", "fill"]
    with pytest.raises(Refused, match="air test, wet test, fill and bleed"):
        Pack.hand_over(service, owner, way="collected", received_by="A. Halvorsen")
    passed(service, owner, ["air", "wet", "fill"])
    assert Gate.objects.blocking(service) == []


def test_where_no_loop_is_opened_a_soak_waits_for_no_filling(owner, machine):
    """A new graphics board is run hot though nobody touched the coolant."""
    closed, opened = (open_one(machine, owner, opens_loop=wet) for wet in (False, True))
    first = [next(g for g in Gate.objects.of(job) if g.kind == "soak").needs_first() for job in (closed, opened)]
    assert first == [None, Gate.Kind.FILL]


def test_a_loop_opened_after_all_brings_its_tests_back(owner, helper_client, machine):
    service = open_one(machine, owner, opens_loop=False, title="clean dust")
    assert Gate.objects.blocking(service) == []
    sheet = reverse("proving:sheet", args=[service.number])
    assert "not due for this service" in helper_client.get(sheet).content.decode()
    helper_client.post(reverse("proving:opened", args=[service.number]), once())
    assert Gate.objects.blocking(Job.objects.get(pk=service.pk)) == ["air", "wet", "fill"]


def test_a_commission_has_no_loop_to_open_again(owner):
    with pytest.raises(Refused, match="no service"):
        JobFactory().open_loop(owner)


def test_the_board_counts_the_gates_that_are_due(owner, machine):
    service = open_one(machine, owner)
    passed(service, owner, ["air"])
    gate_of(service, "electrical", owner).waive("not touched", owner)
    (sight,) = look(Job.objects.filter(pk=service.pk), owner, Workshop.current(), money=False)
    assert sight.open_gates == 2


def test_its_quote_offers_what_is_new_and_the_work(owner, machine):
    service = open_one(machine, owner)
    swap_pump(service, owner)
    TaskFactory(job=service, name="drain and fill")
    issue = Quote.draft(service, SpecVersion.objects.current_for(service), owner)
    assert sorted(line.text for line in issue.lines.filter(kind="part")) == ["blue coolant", "quieter pump"]
    assert issue.lines.filter(kind="labour").get().unit_price > 0


def test_warranty_work_is_laid_out_and_not_charged(owner, machine):
    service = open_one(machine, owner, under_warranty=True, title="pump hums")
    swap_pump(service, owner)
    TaskFactory(job=service, name="swap the pump")
    for finding in findings_of(SpecVersion.objects.current_for(service)):
        if finding.holds_up:
            Waiver.objects.grant(service, finding, "looked at on the bench", owner)
    issue = Quote.draft(service, SpecVersion.objects.current_for(service), owner)
    lines = issue.lines.all()
    assert len(lines) == 3
    assert {line.unit_price for line in lines} == {0}
    assert {line.remark for line in lines} == {"warranty, not charged"}
    issue.send(owner)
    issue.accept(owner, "A. Halvorsen")
    assert issue.total == 0
    assert not service.bills.exists()


def test_what_was_waived_for_the_machine_stays_waived(owner, machine):
    (stop, *_more) = [one for one in findings_of(SpecVersion.objects.current_for(machine)) if one.holds_up]
    Waiver.objects.grant(machine, stop, "the board was measured", owner)
    service = open_one(machine, owner)
    assert service.waivers.get().reason == "the board was measured"
    found = findings_of(SpecVersion.objects.current_for(service))
    assert next(one for one in found if one.rule == stop.rule and one.sentence == stop.sentence).waived


def test_it_leaves_with_a_supplement_to_the_machines_pack(owner, owner_client, machine):
    service = open_one(machine, owner)
    swap_pump(service, owner)
    passed(service, owner, ["air", "wet", "fill"])
    care = machine.care_dates.get(what="change the coolant")
    data = {**FORM, "on": timezone.localdate().isoformat(), "care_done": [care.pk], "version": service.version}
    data["version"] = Job.objects.get(pk=service.pk).version
    answer = owner_client.post(reverse("handover:sheet", args=[service.number]), once(**data))
    assert answer.status_code == 302, answer.context["form"].errors
    paper = Pack.objects.get(job=service).document
    assert (paper.kind, paper.number, paper.issue) == ("pack", str(machine), 2)
    words = text_of(paper.read())
    for expected in ("Supplement 1", "quieter pump", "in place of pump with tank", "NEW-1", "air test", "Care done",
                     "change the coolant"):  # fmt: skip
        assert expected in words, expected
    assert "sixteen-core" not in words
    care.refresh_from_db()
    assert (care.done_by, care.done_on) == (service, timezone.localdate())
    assert machine.care_dates.open().filter(what="change the coolant").count() == 1
    assert not Stock.objects.lying().filter(tray=service.tray, owner=Stock.CLIENTS).exists()


def test_the_next_service_begins_from_what_the_last_one_left(owner, machine):
    first = open_one(machine, owner, opens_loop=False)
    pump = swap_pump(first, owner)
    Pack.hand_over(first, owner, way="collected", received_by="A. Halvorsen")
    second = open_one(machine, owner, opens_loop=False, title="clean dust")
    line = SpecVersion.objects.current_for(second).lines.get(part__kind="pump_reservoir")
    assert (line.part, line.client_supplied) == (pump, True)


def test_the_machines_life_shows_services_with_readings_and_every_serial(owner, helper_client, machine):
    service = open_one(machine, owner)
    swap_pump(service, owner)
    recorded(service, "air", owner)
    seen = helper_client.get(reverse("handover:life", args=[machine.number]))
    html = seen.content.decode()
    for expected in (str(service), "change the coolant", "21.3 °C", "NEW-1", f"SN-graphics-{machine.number}"):
        assert expected in html, expected
    assert helper_client.get(reverse("handover:life", args=[service.number])).context["job"] == seen.context["job"]
    assert machine.client.name not in html


def test_a_longer_life_asks_no_more(owner, helper_client, machine):
    def asked():
        with CaptureQueriesContext(connection) as queries:
            helper_client.get(reverse("handover:life", args=[machine.number]))
        return len(queries)

    recorded(open_one(machine, owner), "air", owner)
    asked()
    one = asked()
    for _n in range(3):
        recorded(open_one(machine, owner), "air", owner)
    assert asked() <= one < 30


@pytest.mark.parametrize("word", ["NEW-1", "SN-graphics"])
def test_a_used_serial_finds_its_machine(owner, owner_client, machine, word):
    swap_pump(open_one(machine, owner), owner)
    assert Unit.objects.filter(serial__startswith=word).exists()
    page = owner_client.get(reverse("jobs:list"), {"q": word}).content.decode()
    assert str(machine) in page
    assert reverse("handover:life", args=[machine.number]) in page


@pytest.mark.parametrize("word", ["NEW-1", "SN-graphics"])
def test_a_helper_at_the_bench_finds_it_too_and_sees_no_price_and_no_client(owner, helper_client, machine, word):
    swap_pump(open_one(machine, owner), owner)
    Job.objects.filter(serves=machine).update(stage="handed_over")
    page = helper_client.get(reverse("board:board"), {"q": word}).content.decode()
    assert reverse("handover:life", args=[machine.number]) in page
    assert machine.client.name not in page
    assert (
        reverse("handover:life", args=[machine.number])
        not in helper_client.get(reverse("board:board"), {"q": "no such serial"}).content.decode()
    )


def test_only_the_owner_opens_one_and_only_of_a_machine_that_left(owner, helper, helper_client, machine):
    assert helper_client.get(reverse("handover:service", args=[machine.number])).status_code == 403
    with pytest.raises(Refused, match="Only the owner"):
        open_one(machine, helper)
    with pytest.raises(Refused, match="was not handed over"):
        open_one(JobFactory(), owner)
    with pytest.raises(Refused, match="a service itself"):
        open_one(open_one(machine, owner), owner)


def test_it_is_opened_on_its_page(owner_client, machine):
    page = reverse("handover:service", args=[machine.number])
    assert page in owner_client.get(reverse("handover:life", args=[machine.number])).content.decode()
    assert "Fill this in" in str(owner_client.post(page, once(title="")).context["form"].errors["title"])
    answer = owner_client.post(page, once(title="pump hums", under_warranty="on"))
    service = Job.objects.get(serves=machine)
    assert answer.url == reverse("specs:spec", args=[service.number])
    assert (service.under_warranty, service.opens_loop) == (True, False)


def test_what_is_owed_stays_in_today_until_it_is_given(owner, owner_client, helper_client):
    job = built(owner)
    data = {**FORM, "on": timezone.localdate().isoformat(), "owed": "front fans\n\n  spare drain valve ",
            "version": Job.objects.get(pk=job.pk).version}  # fmt: skip
    assert owner_client.post(reverse("handover:sheet", args=[job.number]), once(**data)).status_code == 302
    pack = Pack.objects.get(job=job)
    fans, valve = pack.owed.all()
    assert (fans.role.name, valve.role, valve.what) == ("front fans", None, "spare drain valve")
    assert "spare drain valve" in text_of(pack.document.read())
    assert "spare drain valve" in helper_client.get(reverse("board:today")).content.decode()
    helper_client.post(reverse("handover:give", args=[valve.pk]), once())
    assert [owed.what for owed in pack.owed.open()] == ["front fans"]
    html = helper_client.get(reverse("board:today")).content.decode()
    assert "spare drain valve" not in html
    assert "front fans" in html


def test_a_care_date_of_another_machine_cannot_be_marked(owner, owner_client, machine):
    other = built(owner)
    Pack.hand_over(other, owner, way="collected", received_by="B. B.")
    service = open_one(machine, owner, opens_loop=False)
    strange = other.care_dates.first()
    data = {**FORM, "on": timezone.localdate().isoformat(), "care_done": [strange.pk], "version": service.version}
    answer = owner_client.post(reverse("handover:sheet", args=[service.number]), once(**data))
    assert "care_done" in answer.context["form"].errors
    assert strange.done_on is None
