"""The order in which coolant passes the components."""

import pytest

from builds.specs.models import Step
from parts.workshop.refusal import Refused

from .rows import ORDER, machine

pytestmark = pytest.mark.django_db


def names(loop):
    return [step.line.role.name for step in loop.ordered()]


@pytest.fixture
def loop():
    return machine().loops.get()


def test_a_component_moves_up_and_down(loop, owner):
    first, second = loop.ordered()[:2]
    loop.move(first, owner, up=False)
    assert names(loop)[:2] == [ORDER[1], ORDER[0]]
    loop.move(first, owner, up=True)
    loop.move(first, owner, up=True)
    assert names(loop) == ORDER
    assert second.line.role.name == ORDER[1]


def test_a_component_is_in_one_loop_once(loop, owner):
    line = loop.spec.lines.get(role__name="pump")
    with pytest.raises(Refused, match="in a loop already"):
        loop.add(line, owner)
    with pytest.raises(Refused, match="in a loop already"):
        loop.spec.add_loop(owner, "second").add(line, owner)


def test_only_what_coolant_passes_goes_in(loop, owner):
    with pytest.raises(Refused, match="does not pass"):
        loop.add(loop.spec.lines.get(role__name="case"), owner)
    with pytest.raises(Refused, match="does not pass"):
        loop.add(machine().lines.get(role__name="pump"), owner)


def test_taking_out_leaves_the_part_in_the_spec(loop, owner):
    step = loop.ordered()[1]
    loop.take_out(step, owner)
    assert names(loop) == [ORDER[0], *ORDER[2:]]
    assert loop.spec.lines.filter(role__name=ORDER[1]).exists()


def test_a_usual_loop_is_laid_with_what_each_component_needs(loop, owner):
    Step.objects.all().delete()
    loop.lay_as_usual(owner)
    assert names(loop) == ORDER
    steps = {step.line.role.name: step for step in loop.ordered()}
    assert steps["pump"].speed == 1.0
    assert steps["processor block"].cools.name == "processor"
    assert steps["graphics block"].cools.name == "graphics board"
    radiator = steps["front radiator"]
    assert (radiator.fans.name, radiator.fan_count, radiator.place) == ("front fans", 3, "front")
    assert (radiator.draws_from, radiator.blows_to) == ("room", "case")
    loop.lay_as_usual(owner)
    assert names(loop) == ORDER, "laying it twice adds nothing"


def test_loops_have_names_of_their_own(loop, owner):
    assert [loop.spec.add_loop(owner).name for _ in range(2)] == ["loop 2", "loop 3"]
    with pytest.raises(Refused, match="already"):
        loop.spec.add_loop(owner, "Loop")
