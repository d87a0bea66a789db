"""The findings on a spec, their waivers, and what asking costs."""

import pytest

from builds.checks.models import Waiver
from builds.specs.sanity import findings_of, open_stops
from builds.specs.thermal import air_curves, flow_curves, loop_document, operating_point
from parts.workshop.models import Workshop
from parts.workshop.refusal import Refused

from .rows import machine

pytestmark = pytest.mark.django_db


def deep(spec=None):
    """A machine whose radiator is too deep for its place."""
    return machine(**{"front radiator": {"thickness": 60.0}})


def test_a_sound_machine_has_no_stop():
    findings = findings_of(machine())
    assert [f.sentence for f in findings if f.severity != "note"] == [], "an ordinary machine should be quiet"
    assert any(f.rule == "heat and flow" for f in findings)


def test_a_stack_too_deep_is_an_open_stop():
    stops = open_stops(deep())
    assert [(f.rule, f.roles) for f in stops] == [("stack", ("front radiator", "front fans", "case"))]


def test_a_waiver_with_its_reason_covers_the_stop(owner):
    spec = deep()
    stop = open_stops(spec)[0]
    Waiver.objects.grant(spec.job, stop, "The panel comes out; measured on the bench.", by=owner)
    assert open_stops(spec) == []
    covered = next(f for f in findings_of(spec) if f.rule == "stack" and f.severity == "stop")
    assert covered.waived
    assert "measured on the bench" in covered.waived_because
    assert covered.waived_by == str(owner)


def test_a_changed_number_voids_it(owner):
    spec = deep()
    Waiver.objects.grant(spec.job, open_stops(spec)[0], "Fits.", by=owner)
    spec.lines.get(role__name="front radiator").part.facts.filter(name="thickness").update(number=61.0)
    from builds.specs.models import SpecVersion

    assert [f.rule for f in open_stops(SpecVersion.objects.get(pk=spec.pk))] == ["stack"]


def test_a_waiver_withdrawn_lets_the_stop_stand(owner):
    spec = deep()
    waiver = Waiver.objects.grant(spec.job, open_stops(spec)[0], "Fits.", by=owner)
    waiver.withdraw(by=owner)
    assert len(open_stops(spec)) == 1


def test_no_waiver_without_a_reason_nor_for_a_note(owner):
    spec = deep()
    with pytest.raises(Refused, match="reason"):
        Waiver.objects.grant(spec.job, open_stops(spec)[0], "  ", by=owner)
    note = next(f for f in findings_of(spec) if f.severity == "note")
    with pytest.raises(Refused, match="no waiver"):
        Waiver.objects.grant(spec.job, note, "Because.", by=owner)


def test_a_waiver_counts_for_its_job_alone(owner):
    spec, other = deep(), deep()
    Waiver.objects.grant(spec.job, open_stops(spec)[0], "Fits.", by=owner)
    assert open_stops(other)


@pytest.mark.parametrize("extra", [0, 25])
def test_findings_cost_the_same_number_of_queries(extra, django_assert_num_queries):
    Workshop.current()
    spec = machine(extra=extra)
    fresh = type(spec).objects.get(pk=spec.pk)
    with django_assert_num_queries(10):
        findings_of(fresh)


def test_the_operating_point_of_a_stored_loop():
    """Check figures of the design's example, from an independent calculation."""
    loop = machine().loops.get()
    result = operating_point(loop).result
    assert float(result.flow) * 60000 == pytest.approx(5.147, rel=0.01)
    assert float(result.mean_over_room) == pytest.approx(9.15, abs=0.2)
    assert loop_document(loop)["room_temperature"] == "22.0 degC"


def test_the_fan_speeds_run_in_one_solve_with_their_range():
    sweep = operating_point(machine().loops.get()).sweep
    mean = list(sweep.point.mean_over_room)
    assert mean == sorted(mean, reverse=True), "more air, cooler coolant"
    assert list(sweep.point.sound_level) == sorted(sweep.point.sound_level)
    assert mean[-1] == pytest.approx(7.82, abs=0.2)
    low, _middle, high = sweep.ranges["mean_over_room"][-1]
    assert low < mean[-1] < high


def test_the_curves_meet_at_the_operating_point():
    """170.3 m³/h at 4.46 Pa, and 5.147 L/min: the design's example, from an independent calculation."""
    result = operating_point(machine().loops.get()).result
    for rows, flow, tolerance in (
        (air_curves(result, "front radiator"), 170.3 / 3600, 0.04),
        (flow_curves(result), 5.147 / 60000, 0.08),
    ):
        crossing = next(row for row in rows if row[1] <= row[2])
        assert crossing[0] == pytest.approx(flow, rel=tolerance), "within a step of the curve"
