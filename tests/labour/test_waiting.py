"""Who waits for what, on plain values."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal as D

from builds.labour.waiting import (
    DONE,
    READY,
    RUNNING,
    WAITS_FOR_PART,
    WAITS_FOR_TASK,
    Claim,
    Missing,
    allot,
    in_order_of_need,
    judge,
)


@dataclass
class Step:
    pk: int
    is_done: bool = False
    running: bool = False


FAN, PUMP = 7, 8
front = Claim(1, "front fans", FAN, "fan 120", D(3))
top = Claim(2, "top fans", FAN, "fan 120", D(3))
pump = Claim(3, "pump", PUMP, "pump", D(1))
THU, FRI = date(2026, 12, 3), date(2026, 12, 4)


def test_everything_in_the_tray_leaves_nothing_missing():
    assert allot([front, top, pump], {FAN: D(6), PUMP: D(1)}, {}) == {}


def test_parts_shared_by_two_roles_fill_the_first_first():
    found = allot([front, top], {FAN: D(4)}, {FAN: [(THU, D(2))]})
    assert list(found) == [2]
    assert found[2] == Missing(top, D(2), THU, ordered=True)


def test_the_date_is_that_of_the_last_arrival_a_role_needs():
    found = allot([front, top], {}, {FAN: [(FRI, D(2)), (THU, D(4))]})
    assert (found[1].due, found[2].due) == (THU, FRI)


def test_too_few_on_order_counts_as_not_ordered():
    found = allot([front], {}, {FAN: [(THU, D(2))]})
    assert (found[1].due, found[1].ordered, found[1].quantity) == (None, False, D(3))


def test_an_order_without_a_date_is_ordered_all_the_same():
    found = allot([pump], {}, {PUMP: [(None, D(1))]})
    assert (found[3].due, found[3].ordered) == (None, True)


def test_an_arrival_before_today_is_late():
    missing = Missing(pump, D(1), THU, True)
    assert missing.is_late(FRI)
    assert not missing.is_late(THU)
    assert not Missing(pump, D(1)).is_late(FRI)


def test_the_part_goes_to_the_role_whose_task_comes_first_and_done_tasks_keep_theirs():
    tasks = [Step(10), Step(11), Step(12, is_done=True)]
    needs = {11: [1], 10: [2], 12: [3]}
    assert [c.role for c in in_order_of_need([front, top, pump], tasks, needs)] == ["pump", "top fans", "front fans"]


def test_the_five_states_of_a_task():
    tasks = [Step(1, is_done=True), Step(2, running=True), Step(3), Step(4), Step(5)]
    missing = {3: Missing(pump, D(1), THU, True)}
    states = judge(tasks, {2: [1], 4: [1], 5: [3]}, {4: [3], 5: [3]}, missing)
    assert [s.state for s in states] == [DONE, RUNNING, READY, WAITS_FOR_PART, WAITS_FOR_TASK]
    assert [m.role for m in states[3].missing] == ["pump"]
    assert states[4].waits_for == (tasks[2],)
    assert states[4].missing, "a task that waits for another may miss parts too"
