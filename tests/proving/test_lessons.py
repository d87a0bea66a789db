"""What passed soak tests teach the next prediction: the workshop's prior."""

import pytest

from builds.checks.lessons import SoakLesson, course
from builds.checks.solving import prior_of
from builds.proving.machine import machine_of
from builds.proving.models import Trial
from parts.workshop.models import AuditEntry
from parts.workshop.refusal import Refused
from tests.handover.machine import built, soaked
from tests.proving.readings import passed, recorded

pytestmark = pytest.mark.django_db


def bench(owner):
    job = built(owner, ready=False)
    passed(job, owner, ["air", "wet", "fill", "electrical"])
    return job


def width(job):
    coolant = machine_of(job, 300.0, 22.4).predicted[0]
    return coolant.high - coolant.low


def test_a_workshop_that_never_soaked_has_no_prior_of_its_own():
    assert SoakLesson.objects.prior() == ""


def test_a_passed_soak_teaches_with_load_and_room_as_measured(owner):
    job = bench(owner)
    soaked(job, owner)
    lesson = SoakLesson.objects.get()
    (reading,) = lesson.readings
    assert (lesson.job, reading["coolant"]) == (job, 31.8)
    assert reading["loop"]["room_temperature"] == "22.4 degC"
    assert {part["name"]: part["heat"] for part in reading["loop"]["components"] if "resistance" in part} == {
        "processor block": "120.0 W", "graphics block": "180.0 W"
    }  # fmt: skip
    assert reading["parts"] == {"processor block": 45.1, "graphics block": 43.2}
    assert AuditEntry.objects.filter(verb="taught").exists()


def test_the_next_machine_is_foretold_more_narrowly_and_says_why(owner):
    first = bench(owner)
    before = width(first)
    soaked(first, owner)
    second = bench(owner)
    assert width(second) < before
    assert "learnt from 1 soak test" in machine_of(second, 300.0, 22.4).basis


def test_the_trial_keeps_the_prior_it_was_foretold_with(owner):
    first, second = bench(owner), bench(owner)
    soaked(first, owner)
    prior = SoakLesson.objects.prior()
    soaked(second, owner)
    kept = Trial.objects.get(gate__job=second, gate__kind="soak").prior
    assert prior_of(prior).document() == kept
    assert SoakLesson.objects.prior() != prior, "the second job has taught more since"


def test_a_machine_that_fails_its_soak_teaches_nothing(owner):
    job = bench(owner)
    soaked(job, owner)
    machine = machine_of(job, 300.0, 22.4)
    hot = {"load": 300.0, "room": 22.4, "coolant": 58.0, "coolant_1": 57.9, "room_1": 22.4, "minutes": 80.0}
    hot |= {p.name: 70.0 for p in machine.predicted[1:]}
    recorded(job, "soak", owner, machine=machine, **hot).confirm("failed", owner, "a fan stood still")
    assert not SoakLesson.objects.exists()
    assert AuditEntry.objects.filter(verb="taught no more").exists()


def test_an_absurd_reading_cannot_wreck_it(owner):
    """Coolant 40 K too warm is flagged; the next prior's means move no further than one usual reading would."""
    for _n in range(3):
        soaked(bench(owner), owner)
    sane = prior_of(SoakLesson.objects.prior())
    lesson = SoakLesson.objects.last()
    readings = [{**lesson.readings[0], "coolant": 71.8, "parts": {}}]
    SoakLesson.objects.teach(bench(owner), readings, owner)
    told = course(SoakLesson.objects.select_related("job"))
    assert told[-1].flagged == ("coolant",)
    after = prior_of(SoakLesson.objects.prior())
    moved = [abs(a - b) for a, b in zip(after.mean, sane.mean, strict=True)]
    assert max(m / s for m, s in zip(moved, sane.deviations, strict=True)) < 1.5


def test_readings_that_cannot_be_teach_nothing_and_say_why(owner):
    soaked(bench(owner), owner)
    before = SoakLesson.objects.prior()
    lesson = SoakLesson.objects.get()
    SoakLesson.objects.teach(bench(owner), [{**lesson.readings[0], "coolant": 3.0, "parts": {}}], owner)
    assert "must be above 0 K" in course(SoakLesson.objects.all())[-1].faults[0]
    assert SoakLesson.objects.prior() == before


def test_a_lesson_is_set_aside_with_a_reason_and_taken_back(owner):
    soaked(bench(owner), owner)
    soaked(bench(owner), owner, coolant=32.2, coolant_1=32.0)
    both, lesson = SoakLesson.objects.prior(), SoakLesson.objects.first()
    with pytest.raises(Refused, match="Say why"):
        lesson.set_aside("  ", owner)
    lesson.set_aside("the room was read in the exhaust", owner)
    assert SoakLesson.objects.prior() not in ("", both)
    assert course(SoakLesson.objects.all())[0].steps == ()
    lesson.take_back(owner)
    assert SoakLesson.objects.prior() == both


def test_the_prior_costs_one_query_once_it_is_known(owner, django_assert_num_queries):
    soaked(bench(owner), owner)
    SoakLesson.objects.prior()
    with django_assert_num_queries(1):
        SoakLesson.objects.prior()


def test_a_load_no_radiator_could_carry_foretells_nothing_instead_of_failing(owner):
    assert machine_of(bench(owner), 4900.0, 22.4).predicted == ()


def test_the_coolant_counts_at_the_sensors_place(owner):
    """Behind two blocks of 300 W at 5.15 L/min the coolant is 300/(5.15/60000·995·4180) = 0.84 K warmer."""
    job = bench(owner)
    machine = machine_of(job, 300.0, 22.0)
    assert machine.places == ("pump and reservoir", "processor block", "graphics block", "front radiator")
    rise = {place: machine_of(job, 300.0, 22.0, place).predicted[0].over_room for place in (None, 2, 4)}
    assert rise[4] - rise[2] == pytest.approx(0.84, abs=0.03)
    assert rise[2] < rise[None] < rise[4]
    soaked(job, owner, sensor=4.0)
    assert SoakLesson.objects.get().readings[0]["node"] == "front radiator"
