"""Taking readings: kept, judged, repeated, refused."""

import pytest

from builds.jobs.models import Stage
from builds.proving.models import Gate, Trial
from parts.workshop.models import AuditEntry
from parts.workshop.refusal import Refused
from tests.factories import JobFactory

from .readings import MACHINE, PLAIN, gate_of, passed, recorded

pytestmark = pytest.mark.django_db


def test_the_five_gates_are_made_once_and_in_order(owner):
    job = JobFactory()
    Gate.objects.open_for(job, owner)
    gates = Gate.objects.open_for(job, owner)
    assert [gate.kind for gate in gates] == ["air", "wet", "fill", "electrical", "soak"]
    assert AuditEntry.objects.filter(verb="opened gates").count() == 1


def test_the_first_reading_brings_the_job_to_proving(helper):
    job = JobFactory(stage=Stage.BENCH)
    recorded(job, "air", helper)
    job.refresh_from_db()
    assert job.stage == Stage.PROVING


def test_readings_limits_and_reasons_are_stored_as_they_stood(helper):
    gate = recorded(JobFactory(), "air", helper)
    trial = gate.latest
    assert trial.outcome == "passed"
    assert gate.verdict == "open", "the verdict waits for a person's word"
    written = {reading.name: reading.written for reading in trial.readings.all()}
    assert written["pressure_1"] == "0.5 bar"
    assert written["temperature_2"] == "21.2 °C"
    assert any("0.002 mbar·L/s" in text for _label, text in trial.limits)
    assert trial.numbers[0][1].endswith("mbar")


def test_readings_kept_over_an_hour_become_one_trial(helper):
    gate = gate_of(JobFactory(), "air", helper)
    first = {name: PLAIN["air"][name] for name in ("pressure_1", "temperature_1", "barometer_1", "settled")}
    gate.keep(first, helper, machine=MACHINE)
    gate = Gate.objects.with_trials().get(pk=gate.pk)
    assert gate.latest.is_running
    gate.record(PLAIN["air"], helper, machine=MACHINE)
    trial = Trial.objects.get()
    assert trial.number == 1
    assert trial.readings.count() == len(PLAIN["air"])


def test_a_repeated_test_keeps_the_earlier_readings(helper):
    job = JobFactory()
    recorded(job, "air", helper, pressure_2=0.4).confirm("failed", helper)
    recorded(job, "air", helper)
    first, second = Trial.objects.order_by("number")
    assert (first.verdict, second.number, second.verdict) == ("failed", 2, "")
    assert first.readings.get(name="pressure_2").value == 0.4


def test_new_readings_take_back_a_verdict_until_they_are_judged(helper):
    job = JobFactory()
    recorded(job, "air", helper).confirm("passed", helper)
    assert recorded(job, "air", helper).verdict == "open"


@pytest.mark.parametrize(("kind", "before", "first"), [("wet", [], "air test"), ("soak", ["air", "wet"], "fill")])
def test_wet_comes_after_air_and_soak_after_fill(helper, kind, before, first):
    job = JobFactory()
    passed(job, helper, before)
    with pytest.raises(Refused, match=first):
        recorded(job, kind, helper)
    assert not Trial.objects.filter(gate__kind=kind).exists()


def test_a_waived_air_test_lets_the_wet_test_begin(owner):
    job = JobFactory()
    gate_of(job, "air", owner).waive("the client's own pressure test is on file", owner)
    assert recorded(job, "wet", owner).latest.outcome == "passed"


def test_an_electrical_check_wants_the_name_of_who_signs(helper):
    gate = gate_of(JobFactory(), "electrical", helper)
    with pytest.raises(Refused, match="competent person") as refused:
        gate.record(PLAIN["electrical"], helper, machine=MACHINE)
    assert refused.value.field == "signed_by"


def test_a_closed_job_takes_no_readings(helper):
    with pytest.raises(Refused, match="closed"):
        recorded(JobFactory(stage=Stage.CANCELLED), "air", helper)


def test_soak_readings_carry_what_was_foretold(helper):
    job = JobFactory()
    passed(job, helper, ["air", "wet", "fill"])
    reading = recorded(job, "soak", helper).latest.readings.get(name="coolant")
    assert (round(reading.predicted_low, 1), round(reading.predicted, 1), round(reading.predicted_high, 1)) == (
        29.6, 31.3, 33.6,
    )  # fmt: skip
