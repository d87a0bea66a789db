"""The day a job will be ready, on plain values. Calendar: 27 November 2026 is a Friday."""

from datetime import date, timedelta
from decimal import Decimal as D

import numpy as np
import pytest
from django.utils import timezone

from builds.labour.days import working_day
from builds.labour.forecast import days_in_hand, forecast
from builds.labour.outlook import suggested_promise
from builds.labour.waiting import Claim, Missing
from tests.factories import (
    JobFactory,
    RoleFactory,
    SpecLineFactory,
    SpecVersionFactory,
    SupplierPriceFactory,
    TaskFactory,
)

FRIDAY = date(2026, 11, 27)


def part(role="radiator", due=None, ordered=None, lead_days=None, client_supplied=False):
    claim = Claim(1, role, 1, "part", D(1), client_supplied, lead_days)
    return Missing(claim, D(1), due, bool(due) if ordered is None else ordered)


@pytest.mark.parametrize(
    ("left", "week", "day"),
    [
        ("0", "30", FRIDAY),
        ("6", "30", date(2026, 11, 30)),
        ("6.1", "30", date(2026, 12, 1)),
        ("30", "30", date(2026, 12, 4)),
        ("38", "30", date(2026, 12, 8)),
        ("10", "100", date(2026, 11, 30)),
    ],
)
def test_the_hours_left_fill_working_days(left, week, day):
    assert forecast(FRIDAY, D(left), D(week), []).day == day


def test_working_days_agree_with_numpys_business_days_on_any_start():
    # An outside count: numpy.busday_count of the half-open stretch after the start.
    for start in (date(2026, 11, day) for day in range(23, 30)):
        for days in range(1, 12):
            end = working_day(start, days)
            after = np.datetime64(start) + 1
            assert np.busday_count(after, np.datetime64(end) + 1) == days
            assert np.is_busday(end)


def test_the_last_arrival_drives_when_it_is_later_than_the_hours():
    found = forecast(FRIDAY, D(6), D(30), [part("pump", date(2026, 12, 3)), part("radiator", date(2027, 3, 14))])
    assert found.day == date(2027, 3, 14)
    assert found.why.startswith("radiator, due")
    assert "14 Mar" in found.why


def test_the_hours_drive_when_they_are_later():
    found = forecast(FRIDAY, D(38), D(30), [part("pump", date(2026, 12, 3))])
    assert (found.day, found.why) == (date(2026, 12, 8), "38 h left at 30 h a week")


def test_a_part_not_ordered_takes_its_cheapest_suppliers_time_and_says_so():
    found = forecast(FRIDAY, D(6), D(30), [part("pump", lead_days=21)])
    assert found.day == date(2026, 12, 18)
    assert found.why == "pump, not ordered; 21 days from the cheapest supplier"


def test_an_overdue_part_holds_no_date_in_the_past():
    found = forecast(FRIDAY, D(0), D(30), [part("pump", date(2026, 11, 20))])
    assert found.day == FRIDAY
    assert "was due" in found.why
    assert "has not come" in found.why


def test_a_part_nobody_can_date_is_named():
    found = forecast(FRIDAY, D(6), D(30), [part("plate"), part("graphics board", lead_days=9, client_supplied=True)])
    assert found.undated == ("plate", "graphics board")
    assert found.why.endswith("no date yet for plate, graphics board")


def test_nothing_left_says_so():
    assert forecast(FRIDAY, D(0), D(30), []).why == "nothing left to do"


def test_days_in_hand():
    assert days_in_hand(date(2026, 12, 18), date(2026, 12, 21)) == -3
    assert days_in_hand(None, FRIDAY) is None


@pytest.mark.django_db
def test_a_quotes_promise_rests_on_its_own_spec_version():
    job = JobFactory()
    TaskFactory(job=job, hours_likely=6)
    agreed = SpecVersionFactory(job=job, number=1, agreed_at=timezone.now())
    SpecLineFactory(spec=agreed)
    drawn = SpecLineFactory(spec=SpecVersionFactory(job=job, number=2), role=RoleFactory(job=job, name="radiator"))
    SupplierPriceFactory(part=drawn.part, lead_days=42)
    found = suggested_promise(job, drawn.spec)
    assert found.day == timezone.localdate() + timedelta(days=42)
    assert found.why == "radiator, not ordered; 42 days from the cheapest supplier"
