"""Reading in a log on the soak test's page: sent, matched, judged, remembered, drawn."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from builds.proving.logs import LogLayout, SoakLog
from builds.proving.models import Gate, Trial
from builds.proving.record import record_of
from tests.factories import once
from tests.handover.machine import built

from .readings import passed, post
from .soaklog import soak, written

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(owner):
    """A machine whose loop solves, filled and bled."""
    found = built(owner, ready=False)
    passed(found, owner, ["air", "wet", "fill"])
    return found


def send(client, job, data, name="soak.csv", **more):
    address = reverse("proving:log", args=[job.number])
    return client.post(address, once(file=SimpleUploadedFile(name, data), **more))


def columns_of(job):
    log = SoakLog.objects.get()
    return log, reverse("proving:log_columns", args=[job.number, log.pk])


def typed(client, address, **changed):
    """The matching form as the page offers it."""
    form = client.get(address).context["form"]
    return {name: form[name].value() or "" for name in form.fields if name != "once"} | changed


def test_a_log_is_sent_matched_and_judged(helper_client, job):
    answer = send(helper_client, job, written(soak(), comma=True, clock="%d.%m.%Y %H:%M:%S"))
    log, address = columns_of(job)
    assert answer.url == address
    assert log.targets == ["time", "room", "coolant", "part:processor", "part:graphics", "fan", "load"]
    assert post(helper_client, address, **typed(helper_client, address)).url.endswith("/proving/soak/")
    trial = Trial.objects.get(gate__kind="soak")
    assert trial.outcome == "passed"
    assert trial.plain["coolant"] == pytest.approx(31.2, abs=0.1)
    assert trial.plain["load"] == pytest.approx(300.0, abs=2.0)
    assert trial.readings.get(name="coolant").predicted_low is not None
    assert "soak.csv" in trial.note


def test_the_page_and_the_record_draw_it_against_what_was_foretold(helper_client, job):
    send(helper_client, job, written(soak()))
    _log, address = columns_of(job)
    post(helper_client, address, **typed(helper_client, address))
    html = helper_client.get(reverse("proving:gate", args=[job.number, "soak"])).content.decode()
    assert html.count("through the soak") >= 4
    assert "judged from here" in html
    shown = next(row for row in record_of(job) if row["gate"].kind == "soak")["trials"][0]
    assert "foretold" in shown["lines"][0]["words"]
    assert all(len(line["points"]) <= 500 for line in SoakLog.objects.get().lines)


def test_the_matching_is_remembered_for_the_next_log(helper_client, job):
    send(helper_client, job, written(soak()))
    _log, address = columns_of(job)
    post(helper_client, address, **typed(helper_client, address, column_4=""))
    assert LogLayout.objects.get().targets[4] == ""
    answer = send(helper_client, job, written(soak(seed=8)), name="again.csv")
    assert SoakLog.objects.get(name="again.csv").targets[4] == ""
    assert answer.url == reverse("proving:log_columns", args=[job.number, SoakLog.objects.get(name="again.csv").pk])


def test_a_remembered_layout_is_judged_at_once(helper_client, job):
    send(helper_client, job, written(soak()))
    _log, address = columns_of(job)
    post(helper_client, address, **typed(helper_client, address))
    answer = send(helper_client, job, written(soak(seed=8)))
    assert answer.url == reverse("proving:gate", args=[job.number, "soak"])
    assert Trial.objects.filter(gate__kind="soak").count() == 2


def test_a_doubt_is_shown_and_makes_no_trial(helper_client, job):
    data = soak()
    data["room"], data["coolant"] = data["coolant"], data["room"]
    send(helper_client, job, written(data))
    _log, address = columns_of(job)
    assert post(helper_client, address, **typed(helper_client, address)).url == address
    html = helper_client.get(address).content.decode()
    assert "Are the two columns swapped?" in html
    assert not Trial.objects.filter(gate__kind="soak").exists()
    assert Gate.objects.get(job=job, kind="soak").verdict == "open"


def test_swapped_columns_can_be_matched_the_right_way(helper_client, job):
    data = soak()
    data["room"], data["coolant"] = data["coolant"], data["room"]
    send(helper_client, job, written(data))
    _log, address = columns_of(job)
    post(helper_client, address, **typed(helper_client, address))
    post(helper_client, address, **typed(helper_client, address, column_1="coolant", column_2="room"))
    assert Trial.objects.get(gate__kind="soak").outcome == "passed"


def test_one_thing_in_two_columns_is_named_at_the_second(helper_client, job):
    send(helper_client, job, written(soak()))
    _log, address = columns_of(job)
    answer = post(helper_client, address, **typed(helper_client, address, column_2="room"))
    assert "Another column holds this already" in str(answer.context["form"].errors["column_2"])


def test_without_a_room_nothing_is_judged(helper_client, job):
    send(helper_client, job, written(soak()))
    _log, address = columns_of(job)
    answer = post(helper_client, address, **typed(helper_client, address, column_1=""))
    assert "Say which column holds: room." in answer.content.decode()


def test_a_log_without_a_load_asks_for_it(helper_client, job):
    data = soak()
    del data["load (W)"]
    send(helper_client, job, written(data))
    _log, address = columns_of(job)
    post(helper_client, address, **typed(helper_client, address))
    assert "the load: type it" in helper_client.get(address).content.decode()
    post(helper_client, address, **typed(helper_client, address, load_w="300 W"))
    assert Trial.objects.get(gate__kind="soak").outcome == "passed"


def test_a_confirmed_verdict_lets_the_file_go(helper_client, owner, job):
    send(helper_client, job, written(soak()))
    log, address = columns_of(job)
    post(helper_client, address, **typed(helper_client, address))
    gate = Gate.objects.with_trials().get(job=job, kind="soak")
    gate.confirm("passed", owner)
    log.refresh_from_db()
    assert (bytes(log.raw), bool(log.lines)) == (b"", True)
    assert "was let go" in helper_client.get(address).content.decode()


def test_what_is_no_log_is_said_at_the_file(helper_client, job):
    answer = send(helper_client, job, b"\x89PNG\r\n")
    assert "not a CSV file but PNG" in str(answer.context["form"].errors["file"])
    assert not SoakLog.objects.exists()


def test_before_it_is_filled_no_log_is_taken(helper_client, owner):
    job = built(owner, ready=False)
    answer = send(helper_client, job, written(soak(600.0)))
    assert "fill and bleed comes first" in answer.content.decode()


def test_another_jobs_log_is_not_found(helper_client, owner, job):
    send(helper_client, job, written(soak(600.0)))
    log, _address = columns_of(job)
    other = built(owner, ready=False)
    assert helper_client.get(reverse("proving:log_columns", args=[other.number, log.pk])).status_code == 404
    assert helper_client.get(reverse("proving:log", args=[9999])).status_code == 404


def test_a_double_click_keeps_one_log(helper_client, job):
    data = once()
    for _again in range(2):
        file = SimpleUploadedFile("soak.csv", written(soak(600.0)))
        helper_client.post(reverse("proving:log", args=[job.number]), {**data, "file": file})
    assert SoakLog.objects.count() == 1
