"""Hard input through the pages: each thing wrong is named in words, and none of it counts as a pass."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from builds.proving.logs import SoakLog
from builds.proving.models import Gate, Trial
from tests.factories import once
from tests.handover.machine import built

from .readings import AIR, SOAK, passed, post
from .soaklog import soak, written
from .test_log import spoilt
from .test_log_pages import columns_of, send, typed

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(owner):
    found = built(owner, ready=False)
    passed(found, owner, ["air", "wet", "fill"])
    return found


def in_fahrenheit():
    data = soak()
    for name in ("room", "coolant", "processor", "graphics"):
        data[name] = data[name] * 1.8 + 32.0
    return data


def in_two_clocks():
    first = written(soak(2700.0), clock="%d.%m.%Y %H:%M:%S")
    return first + written(soak(2700.0), clock="%Y-%m-%d %H:%M:%S").split(b"\n", 1)[1]


def read_in(client, job, data, **changed):
    """Send a log, match it as the page offers, and return (page of its columns, its address)."""
    send(client, job, data)
    _log, address = columns_of(job)
    post(client, address, **typed(client, address, **changed))
    return client.get(address).content.decode(), address


def is_no_pass(client, job):
    """The test is not through, nobody is offered to pass it, and a pass that is posted all the same is refused."""
    gate = Gate.objects.with_trials().get(job=job, kind="soak")
    assert not gate.is_through
    confirm = reverse("proving:confirm", args=[job.number, "soak"])
    client.post(confirm, once(verdict="passed", remark="it is fine", version=gate.version))
    assert Gate.objects.get(pk=gate.pk).verdict == "open"
    return not Trial.objects.filter(gate=gate, outcome="passed").exists()


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (written(spoilt("gap")), "The log has gaps, 1 in all"),
        (written(spoilt("swapped")), "Are the two columns swapped?"),
        (written(spoilt("part swapped")), "cooler than the coolant"),
        (written(in_fahrenheit()), "That looks like °F"),
        (in_two_clocks(), "The time is written in two ways"),
        (written(spoilt("backwards")), "The clock goes backwards"),
        (written(spoilt("at 0")), "The sensor of the coolant reads 0"),
        (written(spoilt("at 127")), "The sensor of processor reads 127"),
        (written(spoilt("still")), "stays at 41.0 °C from first to last row"),
    ],
    ids=["gap", "swapped", "part swapped", "fahrenheit", "two clocks", "backwards", "at 0", "at 127", "still"],
)
def test_each_doubt_of_a_log_is_said_on_its_page_and_is_no_pass(helper_client, job, data, words):
    html, _address = read_in(helper_client, job, data)
    assert words in html
    assert is_no_pass(helper_client, job)
    assert not Trial.objects.filter(gate__kind="soak").exists()


def test_fahrenheit_once_said_is_judged_and_noted(helper_client, job):
    _html, address = read_in(helper_client, job, written(in_fahrenheit()))
    post(helper_client, address, **typed(helper_client, address, temperature="degF"))
    trial = Trial.objects.get(gate__kind="soak")
    assert trial.outcome == "passed"
    assert "was logged in °F and is read as °C" in trial.note


def test_decimal_commas_between_commas_are_refused_at_the_file(helper_client, job):
    answer = send(helper_client, job, written(soak(), mark=",", comma=True))
    assert "decimal commas between commas" in str(answer.context["form"].errors["file"])
    assert not SoakLog.objects.exists()


def test_decimal_commas_between_semicolons_are_read(helper_client, job):
    read_in(helper_client, job, written(soak(), comma=True))
    assert Trial.objects.get(gate__kind="soak").plain["coolant"] == pytest.approx(31.2, abs=0.1)


def test_a_log_shorter_than_five_time_constants_is_not_judged(helper_client, job):
    read_in(helper_client, job, written(soak(15 * 60.0)))
    html = helper_client.get(reverse("proving:gate", args=[job.number, "soak"])).content.decode()
    assert "steady takes at least" in html
    assert is_no_pass(helper_client, job)


def test_a_typed_soak_shorter_than_five_time_constants_is_not_judged(helper_client, job):
    page = reverse("proving:gate", args=[job.number, "soak"])
    form = helper_client.get(page).context["form"]
    parts = {m.name: "43 °C" for m in form.measures if m.name.startswith("part_")}
    version = Gate.objects.get(job=job, kind="soak").version
    assert post(helper_client, page, version=version, **{**SOAK, **parts, "minutes": "12 min"}).status_code == 302
    assert "12 min at this load; steady takes at least 30 min" in helper_client.get(page).content.decode()
    assert is_no_pass(helper_client, job)


def test_a_pressure_that_rises_is_said_on_the_page_and_is_no_pass(helper_client, owner):
    """By 30 mbar in an even temperature: pumped air that still cools cannot do that, a sensor that drifts can."""
    job = built(owner, ready=False)
    page = reverse("proving:gate", args=[job.number, "air"])
    assert post(helper_client, page, **{**AIR, "pressure_2": "0.53 bar"}).status_code == 302
    html = helper_client.get(page).content.decode()
    assert "rose" in html or "rises" in html
    gate = Gate.objects.with_trials().get(job=job, kind="air")
    assert gate.latest.outcome != "passed"
    confirm = reverse("proving:confirm", args=[job.number, "air"])
    answer = post(helper_client, confirm, verdict="passed", remark="fine", version=gate.version)
    assert "do not let it pass" in answer.content.decode()
    assert not Gate.objects.get(pk=gate.pk).is_through


def test_a_file_named_as_a_log_that_is_none(helper_client, job):
    file = SimpleUploadedFile("soak.csv", b"")
    answer = helper_client.post(reverse("proving:log", args=[job.number]), once(file=file))
    assert answer.context["form"].errors["file"]
