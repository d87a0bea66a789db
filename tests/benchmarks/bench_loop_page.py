"""What the loop page's answer to a turned dial costs, part by part.

    .venv/bin/pytest -s --nomigrations tests/benchmarks/bench_loop_page.py

Printed, not asserted: the machine decides. Budget: the whole answer within 150 ms on a quiet machine.
"""

import itertools
import statistics
import time

import pytest
from django.urls import reverse

from builds.checks import heat, solving
from builds.specs.gather import facts_of
from builds.specs.loop_drawn import air_charts, drawings, fan_chart, heat_bars, pump_chart
from builds.specs.models import Step
from tests.factories import PartFactory, RoleFactory, SpecLineFactory
from tests.specs.rows import machine

ROUNDS = 9
pytestmark = pytest.mark.django_db


def milliseconds(action, before=lambda: None):
    spent = []
    for _round in range(ROUNDS):
        before()
        begun = time.process_time()
        action()
        spent.append(1000 * (time.process_time() - begun))
    return statistics.median(spent)


def forget():
    for kept in (solving.solved, solving.ranged, solving.swept, solving.mishaps):
        kept.cache_clear()


def with_radiators(count):
    """The usual machine with one radiator or two."""
    spec = machine()
    if count == 2:
        step = Step.objects.get(line__spec=spec, line__role__name="front radiator")
        known = {fact.name: fact.value for fact in step.line.part.facts.all()}
        role = RoleFactory(job=spec.job, kind="radiator", name="top radiator", position=50)
        line = SpecLineFactory(spec=spec, role=role, part=PartFactory(kind="radiator", facts=known))
        Step.objects.create(loop=step.loop, line=line, position=9, speed=0.75, fans=step.fans, fan_count=3)
    return spec


@pytest.mark.parametrize("radiators", [1, 2])
def test_the_parts_of_an_answer(owner_client, radiators):
    spec = with_radiators(radiators)
    build = facts_of(spec)
    loop = build.loops[0]
    point = heat.operating(build, loop)
    parts = {
        "facts from the database": milliseconds(lambda: facts_of(type(spec).objects.get(pk=spec.pk))),
        "one solve": milliseconds(lambda: heat.operating(build, loop), forget),
        "range, 2,048 samples": milliseconds(lambda: point.spread, solving.ranged.cache_clear),
        "fan speeds, 12 × 256 samples": milliseconds(lambda: point.sweep, solving.swept.cache_clear),
        "what-ifs": milliseconds(lambda: point.mishaps, solving.mishaps.cache_clear),
        "drawings": milliseconds(lambda: drawings(build, point)),
        "plots": milliseconds(lambda: (fan_chart(point, 45.0), heat_bars(point), air_charts(point), pump_chart(point))),
    }
    address, turned = reverse("specs:loop", args=[spec.job.number]), itertools.count()

    def turn():
        room = 20 + next(turned) / 2
        assert owner_client.get(address, {"room": room}, headers={"HX-Request": "true"}).status_code == 200

    turn()
    parts["the whole answer to a turned dial"] = milliseconds(turn)
    print(f"\n{radiators} radiator(s), processor time")
    for name, spent in parts.items():
        print(f"{name:<36}{spent:>8.1f} ms")
