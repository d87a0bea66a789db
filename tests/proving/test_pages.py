"""The proving pages, as a hand at the bench meets them."""

import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from builds.proving.judgement import Limits
from builds.proving.limits import ProvingLimits
from builds.proving.models import Gate, Trial
from builds.proving.serials import write_serial
from parts.shelf.models import Move, Place, Stock, Tray, Unit
from tests.factories import (
    LoopFactory,
    PartFactory,
    SpecLineFactory,
    SpecVersionFactory,
    once,
)

from .readings import AIR, TYPED, passed, post, recorded

pytestmark = pytest.mark.django_db


def page(job, kind="air"):
    return reverse("proving:gate", args=[job.number, kind])


@pytest.fixture
def job():
    """A job whose spec holds a litre and a fifth: radiator, reservoir, two metres of 10 mm tube."""
    spec = SpecVersionFactory()
    SpecLineFactory(spec=spec, part=PartFactory(kind="radiator", facts={"volume": 643.0, "max_pressure": 1.2}))
    SpecLineFactory(spec=spec, part=PartFactory(kind="reservoir", facts={"volume": 400.0}))
    SpecLineFactory(spec=spec, part=PartFactory(kind="tube", facts={"bore": 10.0}))
    LoopFactory(spec=spec, tube_length_mm=2000.0)
    return spec.job


def test_readings_typed_with_units_are_judged_and_confirmed(helper_client, job):
    answer = post(helper_client, page(job), **AIR)
    assert answer.status_code == 302
    seen = helper_client.get(page(job))
    assert seen.context["confirm"] is not None
    assert "within 0.002" in seen.content.decode()
    confirm = reverse("proving:confirm", args=[job.number, "air"])
    version = seen.context["confirm"]["version"].value()
    assert post(helper_client, confirm, verdict="passed", version=version).status_code == 302
    assert Gate.objects.get(job=job, kind="air").verdict == "passed"


@pytest.mark.parametrize("kind", ["air", "wet", "fill", "electrical"])
def test_every_test_can_be_read_in_on_its_page(helper_client, helper, job, kind):
    passed(job, helper, {"wet": ["air"]}.get(kind, []))
    version = Gate.objects.filter(job=job, kind=kind).values_list("version", flat=True).first() or ""
    answer = post(helper_client, page(job, kind), version=version, **TYPED[kind])
    assert answer.status_code == 302, answer.context and answer.context["form"].errors
    assert Trial.objects.get(gate__kind=kind).outcome == "passed"


@pytest.mark.parametrize("kind", Gate.Kind.values)
def test_cautions_and_method_stand_before_the_readings(helper_client, job, kind):
    html = helper_client.get(page(job, kind)).content.decode()
    assert html.index("Before you begin") < html.index("Readings")
    assert len(helper_client.get(page(job, kind)).context["cautions"]) >= 2


def test_the_page_knows_volume_and_pressure_of_the_parts(helper_client, job):
    form = helper_client.get(page(job)).context["form"]
    assert form["volume"].value() == "1.2"  # 643 + 400 mL and π/4 · 10² mm² · 2 m = 157 mL
    assert "0.5 bar" in str(form["pressure_1"].help_text)


def test_acrylic_of_unknown_limit_lowers_the_test_pressure(helper_client, job):
    SpecLineFactory(
        spec=job.spec_versions.get(),
        part=PartFactory(kind="reservoir", name="clear tank", facts={"wetted_plastics": "acrylic cast"}),
    )
    html = helper_client.get(page(job)).content.decode()
    assert "0.3 bar gauge: no pressure limit is known for clear tank" in html


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"pressure_1": "0.5 mm"}, "pressure_1", "a length"),
        ({"minutes": "-60 min"}, "minutes", "too low"),
        ({"temperature_2": ""}, "temperature_2", "Fill this in"),
        ({"pressure_2": "12 bar"}, "pressure_2", "too high"),
        ({"barometer_1": "ten"}, "barometer_1", "not one number"),
    ],
)
def test_a_wrong_reading_is_named_at_its_field_and_nothing_is_lost(helper_client, job, typed, field, words):
    answer = post(helper_client, page(job), **{**AIR, **typed})
    assert words in " ".join(answer.context["form"].errors[field])
    assert "21.3 °C" in answer.content.decode()
    assert not Trial.objects.exists()


def test_first_readings_are_kept_for_the_hour(helper_client, job):
    first = {name: AIR[name] for name in ("pressure_1", "temperature_1", "settled")} | {"barometer_1": "1013.25 mbar"}
    assert post(helper_client, page(job), keep="1", **first).status_code == 302
    form = helper_client.get(page(job)).context["form"]
    assert form["barometer_1"].value() == "1013.25"
    assert form["pressure_2"].value() is None
    assert float(form["minutes"].value()) == 0.0, "the clock counts from the first reading"


def test_a_double_click_makes_one_trial(helper_client, job):
    data = once(**AIR)
    assert helper_client.post(page(job), data).status_code == 302
    data["version"] = Gate.objects.get(job=job, kind="air").version
    assert helper_client.post(page(job), data).status_code == 302
    assert Trial.objects.count() == 1


def test_out_of_order_the_page_says_what_comes_first(helper_client, job):
    assert "The air test comes first" in helper_client.get(page(job, "wet")).content.decode()
    answer = post(helper_client, page(job, "wet"), **TYPED["wet"])
    assert "air test comes first" in answer.content.decode()
    assert not Trial.objects.exists()


def test_a_forged_pass_is_refused(helper_client, helper, job):
    gate = recorded(job, "air", helper, pressure_2=0.4)
    answer = post(
        helper_client, reverse("proving:confirm", args=[job.number, "air"]), verdict="passed", version=gate.version
    )
    assert "do not let it pass" in answer.content.decode()
    assert Gate.objects.get(pk=gate.pk).verdict == "open"


def test_a_helper_sees_no_waiver_and_no_client(helper_client, owner_client, job):
    html = helper_client.get(page(job)).content.decode()
    assert "Waive this test" not in html
    assert job.client.name not in html
    assert "Waive this test" in owner_client.get(page(job)).content.decode()


def test_the_sheet_lists_all_gates_before_any_is_begun(helper_client, job):
    html = helper_client.get(reverse("proving:sheet", args=[job.number])).content.decode()
    assert html.count("not begun") == 5
    assert not Gate.objects.exists(), "looking writes nothing"


def test_the_sheet_asks_as_much_for_six_trials_as_for_one(helper_client, helper, job):
    def asked():
        with CaptureQueriesContext(connection) as queries:
            assert helper_client.get(reverse("proving:sheet", args=[job.number])).status_code == 200
        return len(queries)

    passed(job, helper, ["air", "wet", "fill"])
    recorded(job, "soak", helper)
    asked()
    one = asked()
    for _again in range(5):
        recorded(job, "soak", helper)
    asked()  # keeps the forecast, which every change has made anew
    assert asked() == one < 30


@pytest.mark.parametrize("name", ["sheet", "record"])
def test_a_job_that_does_not_exist(helper_client, name):
    assert helper_client.get(reverse(f"proving:{name}", args=[9999])).status_code == 404


def test_a_serial_number_read_off_at_the_bench(helper_client, helper, job):
    part = PartFactory(kind="graphics", name="graphics board", warranty_months=24)
    SpecLineFactory(spec=job.spec_versions.get(), part=part)
    Stock.put_in(part=part, tray=job.tray, place=Place.named("bench"), quantity=1, reason="came in", by=helper)
    address = reverse("proving:serial", args=[job.number])
    assert post(helper_client, address, part=part.pk, serial=" SN 77 ").status_code == 302
    unit = Unit.objects.get()
    assert (unit.serial, unit.tray) == ("SN 77", job.tray)
    assert unit.warranty_until.year == unit.received.at.year + 2
    again = post(helper_client, address, part=part.pk, serial="SN 77")
    assert "known already" in again.content.decode()


def test_a_warranty_begins_on_the_workshops_day_and_not_in_greenwich(helper, job):
    """Half past one in the morning in Berlin is still the evening before by universal time."""
    part = PartFactory(kind="graphics", name="graphics board", warranty_months=24)
    Stock.put_in(part=part, tray=job.tray, place=Place.named("bench"), quantity=1, reason="came in", by=helper)
    Move.objects.update(at=datetime.datetime(2026, 6, 9, 23, 30, tzinfo=datetime.UTC))
    with timezone.override("Europe/Berlin"):
        unit = write_serial(job, part, "SN 78", helper)
    assert unit.warranty_until == datetime.date(2028, 6, 10)


def test_carrying_a_part_about_gives_it_no_longer_warranty(helper, job):
    """It lay on the free shelf for three months; then it went to the tray, and there to another box."""
    part = PartFactory(kind="graphics", name="graphics board", warranty_months=24)
    Stock.put_in(part=part, tray=Tray.free_shelf(), place=Place.named("box"), quantity=1, reason="came in", by=helper)
    Move.objects.update(at=datetime.datetime(2026, 3, 2, 12, tzinfo=datetime.UTC))
    Stock.objects.get().move(tray=job.tray, quantity=1, reason="for it", by=helper)
    Stock.objects.get(tray=job.tray).move(place=Place.named("bench"), quantity=1, reason="at hand", by=helper)
    assert write_serial(job, part, "SN 79", helper).warranty_until == datetime.date(2028, 3, 2)


def test_a_leak_rate_of_nothing_is_no_limit(owner_client, job):
    """Nothing could be judged by it: the judgement divides by the rate."""
    typed = {name: value for name, value in Limits().as_dict().items() if name != "air_leak_mbar_l_s"}
    answer = post(owner_client, reverse("proving:limits"), air_leak_mbar_l_s="0", version=1, **typed)
    assert "above zero" in " ".join(answer.context["form"].errors["air_leak_mbar_l_s"])


def test_the_workshops_own_limits_are_the_owners(owner_client, helper_client, owner, job):
    address = reverse("proving:limits")
    assert helper_client.get(address).status_code == 403
    form = owner_client.get(address).context["form"]
    values = {name: form[name].value() for name in form.fields if name != "once"}
    assert post(owner_client, address, **{**values, "air_minutes": 90}).status_code == 302
    assert ProvingLimits.current().air_minutes == 90
    assert recorded(job, "air", owner).latest.outcome == "open"


def test_a_limit_below_nothing_is_refused(owner_client):
    answer = post(owner_client, reverse("proving:limits"), air_minutes=-1)
    assert answer.context["form"].errors["air_minutes"]
