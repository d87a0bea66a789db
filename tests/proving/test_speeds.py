"""Fans and pumps that ran otherwise than the spec says, typed or logged: the range is foretold for that."""

import numpy as np
import pytest
from django.urls import reverse

from builds.proving.lesson import readings_of
from builds.proving.machine import machine_of
from builds.proving.models import Gate, Trial
from parts.catalogue.models import Fact, Part
from tests.handover.machine import built

from .readings import passed, post
from .soaklog import soak, written
from .test_log_pages import columns_of, send, typed

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(owner):
    """Its spec runs the fans at 75 % and the pump at full speed."""
    found = built(owner, ready=False)
    passed(found, owner, ["air", "wet", "fill"])
    return found


def coolant(job, **speeds):
    return machine_of(job, 300.0, 22.0, speeds=speeds).predicted[0].over_room


def test_the_specs_speeds_given_as_measured_change_nothing(job):
    assert coolant(job, fan_speed=75.0, pump_speed=100.0) == pytest.approx(coolant(job), rel=1e-9)


def test_slower_fans_foretell_a_warmer_coolant_and_a_slower_pump_less_flow(job):
    assert coolant(job, fan_speed=40.0) > coolant(job) + 1.0
    flow = machine_of(job, 300.0, 22.0, speeds={"pump_speed": 60.0}).flow
    assert flow.point == pytest.approx(0.6 * machine_of(job, 300.0, 22.0).flow.point, rel=0.1), (
        "nearly in proportion: affinity laws of pumps, over losses a little less than square"
    )


def test_typed_on_the_page_it_is_judged_by_them_and_says_so(helper_client, job):
    """At 40 % the machine runs warmer than the spec's 75 % would: right for its fans, and no finding."""
    rises = {p.name: p.over_room for p in machine_of(job, 300.0, 22.0, speeds={"fan_speed": 40.0}).predicted}
    read = {name: f"{22.0 + rise:.1f} °C" for name, rise in rises.items()}
    read |= {"coolant_1": read["coolant"], "load": "300 W", "minutes": "80 min", "between": "15 min"}
    page, version = reverse("proving:gate", args=[job.number, "soak"]), Gate.objects.get(kind="soak").version
    rooms = {"room": "22 °C", "room_1": "22 °C", "version": version}
    assert post(helper_client, page, **read, **rooms, fan_speed="40 %").status_code == 302
    trial = Trial.objects.get(gate__kind="soak")
    assert trial.outcome == "passed"
    assert not any("foretold" in finding for finding in trial.findings)
    assert "fans at 40 %" in trial.basis
    assert trial.readings.get(name="fan_speed").written == "40 %"
    (lesson,) = readings_of(trial)
    assert [part["fan_speed"] for part in lesson["loop"]["components"] if part["kind"] == "radiator"] == [0.4]


@pytest.mark.parametrize("speed", ["3 %", "140 %"])
def test_a_speed_that_is_none_is_named_at_its_field(helper_client, job, speed):
    page = reverse("proving:gate", args=[job.number, "soak"])
    answer = post(helper_client, page, fan_speed=speed, version=Gate.objects.get(kind="soak").version)
    assert answer.context["form"].errors["fan_speed"]


@pytest.mark.parametrize(
    ("heading", "value", "rated", "percent"),
    [
        ("fan duty (%)", 40.0, None, 40.0),
        ("fan rpm", 600.0, 1200.0, 50.0),
        ("fan rpm", 1260.0, 1200.0, 100.0),  # a little above rated is the fan's own scatter
        ("fan rpm", 600.0, None, None),  # nobody knows of what
        ("fan rpm", 0.0, 1200.0, None),  # standing still: a fault to find, not a speed to foretell for
        ("fan", 40.0, 1200.0, None),  # no unit
    ],
)
def test_logged_speeds_are_used_where_they_mean_something(helper_client, job, heading, value, rated, percent):
    if rated:
        Fact.objects.create(part=Part.objects.get(kind="fan"), name="rated_speed", number=rated)
    data = soak()
    data = {(heading if name == "fan rpm" else name): values for name, values in data.items()}
    data[heading] = np.full_like(data["time"], value)
    send(helper_client, job, written(data))
    log, address = columns_of(job)
    assert log.targets[5] == "fan"
    post(helper_client, address, **typed(helper_client, address))
    trial = Trial.objects.get(gate__kind="soak")
    assert trial.plain.get("fan_speed") == (None if percent is None else pytest.approx(percent, abs=0.1))
    assert ("As measured" in trial.basis) == (percent is not None)


def test_a_logged_pump_duty_is_used_too(helper_client, job):
    data = soak() | {"pump [%]": np.full(2700, 80.0)}
    send(helper_client, job, written(data))
    _log, address = columns_of(job)
    post(helper_client, address, **typed(helper_client, address))
    trial = Trial.objects.get(gate__kind="soak")
    assert trial.plain["pump_speed"] == pytest.approx(80.0)
    assert "pump at 80 %" in trial.basis
