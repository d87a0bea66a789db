"""Care dates: intervals are common practice, the coolant's own life goes first."""

import datetime

import pytest

from builds.handover.care import care_dates

ON = datetime.date(2026, 8, 31)


def due(what, **facts):
    return [care.due for care in care_dates(ON, has_loop=True, **facts) if what in care.what]


@pytest.mark.parametrize(
    ("facts", "day"),
    [
        ({}, datetime.date(2027, 8, 31)),
        ({"appearance": "clear"}, datetime.date(2027, 8, 31)),
        ({"appearance": "opaque"}, datetime.date(2027, 2, 28)),
        ({"appearance": "dyed"}, datetime.date(2027, 2, 28)),
        ({"appearance": "opaque", "life": 9.0}, datetime.date(2027, 5, 31)),
    ],
)
def test_the_coolant_is_changed_by_its_own_life(facts, day):
    assert due("change the coolant", **facts) == [day]


def test_dust_every_three_months_and_a_look_at_six():
    assert due("dust") == [
        datetime.date(2026, 11, 30), datetime.date(2027, 2, 28), datetime.date(2027, 5, 31), datetime.date(2027, 8, 31),
    ]  # fmt: skip
    assert due("look the loop over") == [datetime.date(2027, 2, 28)]


def test_a_drained_machine_is_filled_first():
    first = care_dates(ON, has_loop=True, filled=False)[0]
    assert (first.due, "before the first switch-on" in first.what) == (ON, True)


def test_without_a_loop_only_dust_is_left():
    assert {care.what for care in care_dates(ON, has_loop=False)} == {"clean dust from radiators, fans and filters"}
