"""Real inputs of a loop through stored rows: curves, push-pull, pumps, case air, altitude, glycol; and bad ones."""

import pytest
from django.urls import reverse

from builds.specs.models import Step
from builds.specs.thermal import loop_document, operating_point
from parts.catalogue.models import Fact
from parts.kinds import FactError, get_kind, read_fact
from tests.factories import PartFactory, RoleFactory, SpecLineFactory, once

from .rows import machine

pytestmark = pytest.mark.django_db


def loop_of(spec):
    return spec.loops.get()


def result_of(spec):
    return operating_point(type(spec).objects.get(pk=spec.pk).loops.get()).result


def run(spec, role, **values):
    Step.objects.filter(line__spec=spec, line__role__name=role).update(**values)
    return spec


def over_room(spec):
    return float(result_of(spec).mean_over_room)


def facts(spec, role):
    return {fact.name: fact.value for fact in spec.lines.get(role__name=role).part.facts.all()}


def another(spec, kind, name, known, **step):
    """One more component of a kind in the loop."""
    line = SpecLineFactory(
        spec=spec, part=PartFactory(kind=kind, name=f"second {name}", facts=known),
        role=RoleFactory(job=spec.job, kind=kind, name=name, position=60),
    )  # fmt: skip
    return Step.objects.create(loop=loop_of(spec), line=line, position=9, **step)


def says(client, spec, *words):
    answer = client.get(reverse("specs:loop", args=[spec.job.number]))
    assert answer.status_code == 200
    for word in words:
        assert word in answer.text, word
    return answer


# Fan curves


def test_points_of_a_curve_stand_in_for_its_two_ends():
    """The design's formula Δp = p0·(1 − (Q/Q0)^1.5) as eight points gives the design's own operating point."""
    flows = [111.6 * part / 7 for part in range(8)]
    curve = "; ".join(f"{flow:.4g} m³/h {18 * (1 - (flow / 111.6) ** 1.5):.4g} Pa" for flow in flows)
    typed = read_fact(get_kind("fan").fact("curve"), curve)
    spec = machine(**{"front fans": {"curve": typed}})
    spec.lines.get(role__name="front fans").part.facts.filter(name__in=["free_flow", "max_pressure"]).delete()
    assert over_room(spec) == pytest.approx(9.15, abs=0.1)
    document = loop_document(loop_of(spec))
    fans = next(part["fans"] for part in document["components"] if part["kind"] == "radiator")
    assert len(fans["curve"]) == 8
    assert "free_flow" not in fans


@pytest.mark.parametrize(
    ("typed", "stored"),
    [
        ("0 m³/h 18 Pa; 50 m³/h 12 Pa; 104 m³/h 0 Pa", "0 18; 50 12; 104 0"),
        # 1 CFM = 1.699011 m³/h, 1 mmH2O = 9.80665 Pa: NIST SP 811.
        ("0 CFM 1.8 mmH2O; 30 CFM 1.2 mmH2O; 61 CFM 0 mmH2O", "0 17.65; 50.97 11.77; 103.6 0"),
        ("0,18\n50,12\n104,0", "0 18; 50 12; 104 0"),
        ("0 18; 62,5 12,25; 104 0", "0 18; 62.5 12.25; 104 0"),
    ],
)
def test_a_curve_is_typed_or_pasted(typed, stored):
    assert read_fact(get_kind("fan").fact("curve"), typed) == stored


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("0 18; 104 0", "at least three points"),
        ("0 18; 50 19; 104 0", "must fall"),
        ("0 18; 60 12; 50 0", "rising order"),
        ("0 0; 60 0; 90 0", "must fall"),
        ("0 18; 60 kg 12; 104 0", "mass"),
        ("flow, pressure", "not a point"),
        ("nan 18; 60 12; 104 0", "not a point"),
    ],
)
def test_a_curve_that_cannot_be_is_refused_with_what_to_type(typed, said):
    with pytest.raises(FactError, match=said) as refused:
        read_fact(get_kind("fan").fact("curve"), typed)
    assert "Type for example" in str(refused.value)


def test_a_stored_curve_nobody_can_read_is_asked_for(owner_client):
    spec = machine(**{"front fans": {"curve": "gibberish"}})
    says(owner_client, spec, "No operating point", "measured curve")


# How it is built


def test_push_pull_moves_more_air_and_cools():
    one, both = machine(), machine()
    run(both, "front radiator", fan_count=6, layers=2)
    air = [float(result_of(spec).radiators["front radiator"].air_flow) for spec in (one, both)]
    assert air[0] < air[1] < 2 * air[0]
    assert over_room(both) < over_room(one)


def test_two_pumps_in_series_add_their_pressures():
    spec = machine()
    single = float(result_of(spec).flow)
    another(spec, "pump", "second pump", {"max_flow": 16.0, "max_pressure_head": 45.0, "heat": 15.0}, speed=1.0)
    result = result_of(spec)
    # Affinity of a system with drops near q^1.75 (and tubing): twice the pressure gives about 2^(1/1.8) of the flow,
    # less what the falling pump curves take back.
    assert 1.1 * single < float(result.flow) < 2 ** (1 / 1.75) * single
    assert float(result.heat) == pytest.approx(300 + 30)


def test_mixed_fans_as_two_radiators():
    spec = machine()
    step = Step.objects.get(line__role__name="front radiator")
    slow = SpecLineFactory(
        spec=spec, quantity=3, part=PartFactory(kind="fan", name="slow fan", facts={"free_flow": 60.0,
                                                                                    "max_pressure": 9.0}),
        role=RoleFactory(job=spec.job, kind="fan", name="slow fans", position=61),
    )  # fmt: skip
    another(spec, "radiator", "top radiator", facts(spec, "front radiator"), speed=0.75, fans=slow.role, fan_count=3,
            grille_loss=0.0)  # fmt: skip
    result = result_of(spec)
    assert float(result.radiators["top radiator"].air_flow) < float(result.radiators["front radiator"].air_flow)
    assert float(result.mean_over_room) < 9.15
    assert step.fans.name == "front fans"


def test_case_air_warms_what_draws_from_it():
    room, case = machine(), machine()
    run(case, "front radiator", draws_from="case", blows_to="room")
    case.loops.update(case_heat_w=100.0)
    result = result_of(case)
    assert float(result.case_air) > float(result.room) + 1
    assert over_room(case) > over_room(room)
    # All of the case heat leaves with the radiator's air: ΔT = Q/(ρ·cp·V), ρ·cp about 1.2 kJ/m³K.
    flow = float(result.radiators["front radiator"].air_flow)
    assert float(result.case_air - result.room) == pytest.approx(100 / (1.19 * 1006.5 * flow), rel=0.03)


def test_thin_air_carries_less():
    """ISO 2533: 89 875 Pa at 1000 m."""
    low, high = machine(), machine()
    high.loops.update(altitude_m=1000.0)
    result = result_of(high)
    assert float(result.loop.air_pressure) == pytest.approx(89_875, rel=1e-3)
    assert over_room(high) > over_room(low)


def test_glycol_slows_the_flow():
    water, mix = machine(), machine(coolant={"fluid": "ethylene glycol", "mass_fraction": 0.3})
    assert float(result_of(mix).flow) < float(result_of(water).flow)
    assert result_of(mix).loop.coolant.mass_fraction == 0.3


# What it rests on


def test_assumptions_stand_with_value_origin_and_how_to_measure(owner_client):
    spec = machine()
    part = spec.lines.get(role__name="processor block").part
    Fact.objects.create(part=part, name="resistance", origin=Fact.MEASURED, number=0.11)
    answer = owner_client.get(reverse("specs:loop", args=[spec.job.number]))
    basis = {origin: rows for origin, _word, rows in answer.context["loops"][0].basis}
    assert list(basis) == ["assumed", "declared", "measured"]
    assert [(one.role, one.value) for one in basis["measured"]] == [("processor block", "0.11 K/W")]
    told = {one.what: one for one in basis["assumed"]}
    assert told["tube, all runs"].value == "2 m"
    assert told["tube, all runs"].check == "a tape along the tube"
    assert told["between two tubes"].check == "calliper"
    spec.loops.update(tube_length_mm=2600.0)
    answer = owner_client.get(reverse("specs:loop", args=[spec.job.number]))
    basis = {origin: [one.what for one in rows] for origin, _word, rows in answer.context["loops"][0].basis}
    assert "tube, all runs" in basis["declared"]


# Bad input: a named fault or finding on the page, never a traceback or a silent number


def test_no_radiator(owner_client):
    spec = machine()
    Step.objects.get(line__role__name="front radiator").delete()
    says(owner_client, spec, "No operating point", "there is no radiator")


def test_no_pump(owner_client):
    spec = machine()
    Step.objects.get(line__role__name="pump").delete()
    says(owner_client, spec, "No operating point", "there is no pump")


def test_a_pump_after_which_flow_cannot_start(owner_client):
    says(owner_client, run(machine(), "pump", speed=0.0), "No operating point", "the flow cannot start")


@pytest.mark.parametrize("name", ["max_pressure", "free_flow"])
def test_a_fan_that_gives_nothing(owner_client, name):
    spec = machine(**{"front fans": {name: 0.0}})
    says(owner_client, spec, "No operating point", name)


def test_fans_that_stand(owner_client):
    says(owner_client, run(machine(), "front radiator", speed=0.0), "No operating point", "no fan runs")


def test_heat_without_a_radiator_in_reach(owner_client):
    """Two radiators' worth of heat through one that has hardly any fins: the coolant would leave its table."""
    spec = machine(processor={"heat": 2600.0})
    says(owner_client, spec, "No operating point", "its figures hold from 5 to 90 °C")


def test_case_heat_with_no_air_to_carry_it(owner_client):
    spec = machine()
    spec.loops.update(case_heat_w=80.0)
    run(spec, "front radiator", draws_from="room", blows_to="room")
    says(owner_client, spec, "no air passes the case")


def test_coolant_outside_its_table(owner_client):
    spec = machine(coolant={"fluid": "propylene glycol", "mass_fraction": 0.9})
    says(owner_client, spec, "No operating point", "mass_fraction")


def test_a_component_is_never_in_an_order_twice(owner_client):
    spec = machine()
    loop, role = loop_of(spec), spec.lines.get(role__name="pump").role
    answer = owner_client.post(reverse("specs:add", args=[spec.job.number, loop.pk]), once(role=role.pk), follow=True)
    assert "is in a loop already" in answer.text
    assert loop.steps.count() == 4


@pytest.mark.parametrize("value", [float("inf"), -5.0, 1e12])
@pytest.mark.parametrize(("role", "name"), [("pump", "max_flow"), ("processor", "heat"), ("front radiator", "sections"),
                                            ("processor block", "resistance")])  # fmt: skip
def test_numbers_that_cannot_be_are_named(owner_client, role, name, value):
    spec = machine(**{role: {name: value}})
    answer = says(owner_client, spec, "No operating point")
    assert any(finding.severity == "stop" for finding in answer.context["loops"][0].findings)


def test_nan_typed_at_a_step_is_refused(owner_client):
    spec = machine()
    role = spec.lines.get(role__name="pump").role
    url = reverse("specs:step", args=[spec.job.number, loop_of(spec).pk, role.pk])
    answer = owner_client.post(url, once(speed="nan", version=spec.version))
    assert answer.status_code == 200
    assert answer.context["form"].errors["speed"]
