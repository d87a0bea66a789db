"""The range, the plots, the dials and the what-ifs of the loop page."""

import re

import pytest
from django.urls import reverse

from builds.checks.lessons import SoakLesson
from builds.specs.models import Step
from builds.specs.thermal import loop_document
from tests.factories import JobFactory, PartFactory, RoleFactory, SpecLineFactory
from tests.sheets.reading import text_of

from .rows import machine

pytestmark = pytest.mark.django_db


def address(spec, name="loop"):
    return reverse(f"specs:{name}", args=[spec.job.number])


def shown(client, spec, **dials):
    answer = client.get(address(spec), dials)
    return answer, answer.context["loops"][0]


def figures(loop):
    return {name: (value, range_) for name, value, range_, _remark in loop.figures}


def ends(text):
    return [float(number) for number in re.findall(r"\d+\.?\d*", text)][:2]


def test_every_figure_of_the_model_has_its_range_beside_it(owner_client):
    """7.9 to 10.7 K about 9.15 K: thermal/spread.py for this very loop."""
    _answer, loop = shown(owner_client, machine())
    low, high = ends(figures(loop)["mean coolant over room"][1])
    assert (low, high) == (pytest.approx(7.9, abs=0.15), pytest.approx(10.7, abs=0.15))
    for name in ("warmest coolant", "flow", "radiators, per 10 K", "case air"):
        value, range_ = figures(loop)[name]
        low, high = ends(range_)
        assert low <= ends(value)[0] <= high, name
    assert all(row["range"] for row in loop.components)
    assert all(row["heat_range"] and row["air_range"] and row["per_ten_range"] for row in loop.radiators)


def test_findings_say_the_range_too(owner_client):
    answer, _loop = shown(owner_client, machine())
    assert re.search(r"The coolant runs 9\.\d K over the room: good \(to 10 K\)\. Range 7\.\d–10\.\d K\.", answer.text)


def test_a_stop_is_judged_on_the_worse_side(owner_client):
    """A processor whose point lies under its limit and whose 90 % side lies above it."""
    sure = machine()
    _answer, loop = shown(owner_client, sure)
    high = ends(next(row for row in loop.components if row["block"] == "processor block")["range"])[1]
    point = ends(next(row for row in loop.components if row["block"] == "processor block")["temperature"])[0]
    close = machine(**{"processor": {"limit": round((point + high) / 2, 1)}})
    _answer, loop = shown(owner_client, close)
    assert [finding.severity for finding in loop.findings if "processor block" in finding.sentence] == ["stop"]


def test_what_the_workshop_learnt_narrows_the_page(owner_client, owner):
    spec = machine()
    _answer, before = shown(owner_client, spec)
    document = {"loop": None, "coolant": 31.2, "node": "", "parts": {"processor block": 44.5, "graphics block": 44.0}}
    document["loop"] = loop_document(spec.loops.get())
    SoakLesson.objects.teach(spec.job, [document], owner)
    _answer, after = shown(owner_client, spec)
    name = "mean coolant over room"
    width = [high - low for low, high in (ends(figures(loop)[name][1]) for loop in (before, after))]
    assert width[1] < width[0]


def test_the_slowest_quiet_speed_is_named_with_its_sound(owner_client):
    answer, loop = shown(owner_client, machine(), limit="35")
    assert re.search(r"Slowest quiet speed: \d+ % at \d+\.\d dB\(A\)", loop.quiet)
    assert "slowest quiet" in loop.fans
    _answer, hard = shown(owner_client, machine(), limit="25")
    assert "Not even at full fan speed" in hard.quiet
    lower, higher = (ends(shown(owner_client, machine(), limit=limit)[1].quiet)[0] for limit in ("40", "33"))
    assert lower < higher, "a cooler loop wants faster fans"
    assert loop.quiet in answer.text


def test_all_plots_are_there_each_with_a_name_and_words(owner_client):
    answer, loop = shown(owner_client, machine())
    assert all(picture.startswith("<svg") for picture in (loop.fans, loop.heats, loop.pump, loop.air[0][1]))
    assert answer.text.count('role="img"') >= 6
    assert "meets at" in loop.pump


def test_mishaps_stand_with_result_settling_time_and_verdict(owner_client):
    _answer, loop = shown(owner_client, machine())
    rows = {row.name: row for row in loop.what_ifs}
    assert list(rows) == ["as it runs", "a fan of front radiator stopped", "pump at half its speed",
                          "room 10 K warmer", "dust: a fifth less air"]  # fmt: skip
    base = ends(rows["as it runs"].warmest)[0]
    assert ends(rows["room 10 K warmer"].warmest)[0] == pytest.approx(base + 10, abs=0.5)
    assert ends(rows["a fan of front radiator stopped"].warmest)[0] > base
    assert ends(rows["pump at half its speed"].flow)[0] < ends(rows["as it runs"].flow)[0]
    # Five time constants of 84 s (thermal/soak.py) are 7 min; the rows' own volumes hold a little more.
    assert 4 < ends(rows["as it runs"].settles)[0] < 12


def test_heat_by_component_is_dialled(owner_client):
    spec = machine()
    _answer, usual = shown(owner_client, spec)
    answer, hotter = shown(owner_client, spec, heat1="200")
    assert hotter.components[0]["heat"] == "200 W"
    assert usual.components[0]["heat"] == "120 W"
    assert "not as the spec says" in answer.text


def test_an_overclocked_processor_is_an_estimate(owner_client):
    """120 W · 1.10 · 1.05² = 145.5 W: dynamic power of CMOS, P = P₀·(f/f₀)·(V/V₀)²."""
    answer, loop = shown(owner_client, machine(), clock="110", volts="105")
    assert loop.components[0]["heat"] in ("145 W", "146 W")
    assert "Estimate: processor gives off 146 W" in answer.text or "Estimate: processor gives off 145 W" in answer.text


def test_dials_as_in_the_spec_count_as_not_turned(owner_client):
    answer, _loop = shown(owner_client, machine(), room="22", fan1="75", pump1="100", heat1="120")
    assert answer.context["turned"] == {}


def test_two_radiators_have_a_dial_each_or_run_together(owner_client):
    spec = machine()
    step = Step.objects.get(line__role__name="front radiator")
    facts = {fact.name: fact.value for fact in step.line.part.facts.all()}
    part = PartFactory(kind="radiator", name="Saltmarsh second radiator", facts=facts)
    role = RoleFactory(job=spec.job, kind="radiator", name="top radiator", position=50)
    line = SpecLineFactory(spec=spec, role=role, part=part)
    Step.objects.create(loop=spec.loops.get(), line=line, position=9, speed=0.5, fans=step.fans, fan_count=3)
    answer, apart = shown(owner_client, spec, fan1="90", fan2="40")
    assert "fans of top radiator" in answer.text
    _answer, together = shown(owner_client, spec, fan1="90", fan2="40", together="on")
    air = [[ends(row["air"])[0] for row in loop.radiators] for loop in (apart, together)]
    assert air[0][1] < air[1][1], "the second follows the first"
    assert len(apart.air) == 2


def test_the_page_works_as_a_plain_form(owner_client):
    answer, _loop = shown(owner_client, machine())
    form = answer.text[answer.text.index('<form method="get"') : answer.text.index("</form>")]
    assert 'type="range"' in form
    assert "<button" in form
    assert form.count("<label") == form.count("<input"), "each dial has its name"


def test_the_sheet_shows_the_same_on_paper(owner_client, helper_client):
    spec = machine()
    answer = helper_client.get(address(spec, "loop_pdf"), {"fan1": "60"})
    assert answer["Content-Type"] == "application/pdf"
    text = text_of(answer.content)
    assert "Shown with the dials turned" in text
    assert "mean coolant over room" in text
    assert "Pump meeting loop" in text
    assert "holds eight machines of ten" in text


def test_without_a_loop_there_is_no_sheet(owner_client):
    job = JobFactory()
    answer = owner_client.get(reverse("specs:loop_pdf", args=[job.number]))
    assert answer.url == reverse("specs:loop", args=[job.number])


@pytest.mark.parametrize("typed", ["nan", "inf", "warm", "-400", "1e99"])
def test_a_dial_that_cannot_be_is_said_and_the_spec_still_shown(owner_client, typed):
    answer, loop = shown(owner_client, machine(), fan1=typed, heat1=typed)
    assert answer.status_code == 200
    assert 'role="alert"' in answer.text
    assert loop.solved


def test_the_answer_in_a_line_stands_beside_the_dials(owner_client):
    spec = machine()
    answer, loop = shown(owner_client, spec)
    assert loop.gist.startswith("coolant 31.")
    assert answer.text.count('id="gist"') == 1
    piece = owner_client.get(address(spec), {"room": "30"}, headers={"HX-Request": "true"}).text
    assert piece.count('id="gist"') == 1
    assert 'hx-swap-oob="true"' in piece


def test_a_range_that_leaves_the_model_is_not_to_be_trusted(owner_client):
    """At 1,750 W the point itself still lies in the coolant's table, to 90 °C, and part of the machines do not."""
    _answer, usual = shown(owner_client, machine())
    assert usual.doubt == ""
    answer, hot = shown(owner_client, machine(processor={"heat": 1750.0}))
    assert hot.solved
    assert "end outside what the model covers" in hot.doubt
    assert hot.doubt in answer.text
