"""The loop page and the order of the loop."""

import pytest
from django.urls import reverse

from builds.specs.models import Loop, Role, SpecVersion, Step
from tests.factories import JobFactory, once

from .rows import ORDER, machine, queries

pytestmark = pytest.mark.django_db


def page(job, name="loop", *args):
    return reverse(f"specs:{name}", args=[job.number, *args])


def figures(answer):
    return {name: value for name, value, _range, _remark in answer.context["loops"][0].figures}


def test_without_a_loop_it_says_what_to_do(owner_client):
    assert "No loop yet" in owner_client.get(page(JobFactory())).text


def test_drawing_figures_and_radiators_are_shown(owner_client):
    """Figures of the design's example, from an independent calculation."""
    answer = owner_client.get(page(machine().job))
    assert figures(answer)["flow"] == "5.15 L/min"
    assert figures(answer)["radiators, per 10 K"] == "325 W"
    assert answer.text.count('class="picture loop') == 2, "one for wide pages, one for narrow ones"
    assert "44 °C" in answer.text
    assert "Coolant and sound against fan speed" in answer.text


def test_the_helper_sees_the_loop_but_cannot_change_it(helper_client):
    spec = machine()
    answer = helper_client.get(page(spec.job))
    assert answer.status_code == 200
    assert "Order of the loop" not in answer.text
    assert helper_client.get(page(spec.job, "order")).status_code == 403


def test_the_dials_answer_without_storing(owner_client):
    spec = machine()
    before = figures(owner_client.get(page(spec.job)))
    answer = owner_client.get(page(spec.job), {"room": "30", "fan1": "100", "pump1": "60"})
    after = figures(answer)
    assert "not as the spec says" in answer.text
    assert after["flow"] < before["flow"]
    assert "30.0 °C" in answer.text
    assert Step.objects.get(line__role__name="front radiator").speed == 0.75


def test_a_dial_beyond_its_stop_is_said_and_the_loop_still_shown(owner_client):
    answer = owner_client.get(page(machine().job), {"room": "90"})
    assert "less than or equal to 50" in answer.text
    assert figures(answer)["flow"] == "5.15 L/min"


def test_htmx_gets_the_figures_alone(owner_client):
    answer = owner_client.get(page(machine().job), {"fan1": "50"}, headers={"HX-Request": "true"})
    assert "<html" not in answer.text
    assert "Operating point" in answer.text


def test_a_loop_that_lacks_facts_says_so_instead_of_guessing(owner_client):
    spec = machine()
    spec.lines.get(role__name="pump").part.facts.filter(name="max_pressure_head").delete()
    answer = owner_client.get(page(spec.job))
    assert "No operating point" in answer.text
    assert "highest pressure" in answer.text
    assert answer.text.count('class="picture loop') == 2, "the order is drawn all the same"


def test_the_page_costs_the_same_whatever_the_spec_holds(owner_client):
    short, long = (page(machine(extra=extra).job) for extra in (0, 25))
    assert queries(owner_client, short) == queries(owner_client, long)


def test_a_loop_is_begun_and_laid_as_usual(owner_client):
    spec = machine()
    Loop.objects.all().delete()
    owner_client.post(page(spec.job, "order"), once(name="", version=spec.version))
    loop = spec.loops.get()
    owner_client.post(page(spec.job, "usual", loop.pk), once())
    assert [step.line.role.name for step in loop.ordered()] == ORDER


def test_components_move_leave_and_come_back(owner_client):
    spec = machine()
    loop = spec.loops.get()
    block = Role.objects.get(job=spec.job, name="processor block")
    owner_client.post(page(spec.job, "move_step", loop.pk, block.pk), once(way="up"))
    assert loop.ordered()[0].line.role == block
    owner_client.post(page(spec.job, "remove_step", loop.pk, block.pk), once())
    assert len(loop.ordered()) == 3
    answer = owner_client.post(page(spec.job, "add", loop.pk), once(role=block.pk), headers={"HX-Request": "true"})
    assert "<html" not in answer.text
    assert loop.ordered()[-1].line.role == block


def test_how_a_radiator_runs_is_changed(owner_client):
    spec = machine()
    loop, radiator = spec.loops.get(), Role.objects.get(job=spec.job, name="front radiator")
    fans = Role.objects.get(job=spec.job, name="front fans")
    said = {"speed": "60 %", "fans": fans.pk, "fan_count": 2, "layers": 1, "place": "front", "draws_from": "room",
            "blows_to": "case", "grille_loss": "1.5", "version": spec.version}  # fmt: skip
    url = page(spec.job, "step", loop.pk, radiator.pk)
    wrong = owner_client.post(url, once(**{**said, "layers": 2, "fan_count": 3}))
    assert "come in pairs" in wrong.text
    wrong = owner_client.post(url, once(**{**said, "speed": "fast"}))
    assert "fan speed, of rated" in str(wrong.context["form"].errors["speed"])
    owner_client.post(url, once(**said))
    step = Step.objects.get(line__role=radiator)
    assert (step.speed, step.fan_count, step.blows_to, step.grille_loss) == (0.6, 2, "case", 1.5)


def test_tube_is_typed_with_its_unit(owner_client):
    spec = machine()
    loop = spec.loops.get()
    said = {"name": "loop", "tube_length_mm": "2.6 m", "fitting_loss": "9", "case_heat_w": "80 W",
            "case_air_flow_m3h": "20 CFM", "altitude_m": "1200 ft", "version": spec.version}  # fmt: skip
    wrong = owner_client.post(page(spec.job, "loop_facts", loop.pk), once(**{**said, "tube_length_mm": "-2 m"}))
    assert "too low" in str(wrong.context["form"].errors["tube_length_mm"])
    owner_client.post(page(spec.job, "loop_facts", loop.pk), once(**said))
    loop.refresh_from_db()
    assert loop.tube_length_mm == 2600
    # 1 CFM is 1.6990108 m³/h: NIST SP 811, appendix B.
    assert loop.case_air_flow_m3h == pytest.approx(20 * 1.6990108, rel=1e-6)
    assert loop.altitude_m == pytest.approx(1200 * 0.3048), "a foot is 0.3048 m exactly"


def test_a_frozen_loop_is_changed_in_the_next_version(owner_client, owner):
    spec = machine()
    spec.freeze(owner)
    loop, block = spec.loops.get(), Role.objects.get(job=spec.job, name="processor block")
    owner_client.post(page(spec.job, "move_step", loop.pk, block.pk), once(way="up"))
    new = SpecVersion.objects.current_for(spec.job)
    assert new.number == 2
    assert new.loops.get().ordered()[0].line.role == block
    assert loop.ordered()[0].line.role.name == "pump"


def test_a_loop_is_removed_and_its_parts_stay(owner_client):
    spec = machine()
    owner_client.post(page(spec.job, "remove_loop", spec.loops.get().pk), once())
    assert not spec.loops.exists()
    assert spec.lines.filter(role__name="pump").exists()
