import json

import pytest

from builds.labour.models import PatternTask, PlanPattern, WorkKind
from builds.labour.seeding import USUAL, load_pattern, usual_pattern
from builds.proving.models import Gate
from parts.workshop.refusal import Refused

pytestmark = pytest.mark.django_db


def file_with(tmp_path, **changes):
    data = {
        "name": "small",
        "work_kinds": [{"name": "bench", "rate": "40", "cost": "20"}],
        "tasks": [
            {"name": "cut", "work": "bench", "hours": ["1", "2", "3"]},
            {"name": "plumb", "work": "bench", "hours": ["1", "2", "3"], "after": ["cut"]},
        ],
    }
    task = changes.pop("second", {})
    data["tasks"][1] |= task
    path = tmp_path / "small.json"
    path.write_text(json.dumps(data | changes))
    return path


def test_the_usual_pattern_covers_every_gate_in_the_order_of_the_trade():
    pattern = load_pattern(USUAL)
    gates = [task.proves for task in pattern.tasks.all() if task.proves]
    assert set(gates) == set(Gate.Kind.values)
    assert gates.index("air") < gates.index("fill") < gates.index("wet") < gates.index("soak")


def test_loading_twice_changes_nothing_and_keeps_the_workshops_own_figures():
    load_pattern(USUAL)
    WorkKind.objects.filter(name="cables").update(rate=99)
    PatternTask.objects.filter(name="Pack").update(hours_likely=3)
    load_pattern(USUAL)
    assert PlanPattern.objects.count() == 1
    assert WorkKind.objects.get(name="cables").rate == 99
    assert PatternTask.objects.get(name="Pack").hours_likely == 3


def test_an_empty_workshop_gets_the_usual_pattern_and_a_set_up_one_its_own():
    assert usual_pattern().name == "usual machine"
    PlanPattern.objects.create(name="a first of our own")
    assert usual_pattern().name == "a first of our own"


@pytest.mark.parametrize(
    ("second", "says"),
    [
        ({"after": ["weld"]}, "not in the file"),
        ({"after": ["plumb"]}, "circle"),
        ({"hours": ["3", "2", "1"]}, "low ≤ likely ≤ high"),
        ({"hours": ["1", "two", "3"]}, "cannot be read"),
        ({"per": "evening"}, "tube run|run"),
        ({"needs": ["flywheel"]}, "kind of part"),
        ({"proves": "smell"}, "gate"),
        ({"work": "magic"}, "kind of work"),
        ({"name": "cut"}, "twice"),
    ],
)
def test_a_file_that_makes_no_sense_is_refused_and_nothing_is_stored(tmp_path, second, says):
    with pytest.raises(Refused, match=says):
        load_pattern(file_with(tmp_path, second=second))
    assert not PlanPattern.objects.exists()
    assert not WorkKind.objects.exists()


def test_a_file_that_is_no_pattern_is_refused(tmp_path):
    path = tmp_path / "photo.json"
    path.write_bytes(b"\x89PNG\xff")
    with pytest.raises(Refused, match=r"photo\.json"):
        load_pattern(path)
