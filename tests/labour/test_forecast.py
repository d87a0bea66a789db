"""The day a job will be ready and what drives it. Calendar: 27 November 2026 is a Friday."""

from datetime import date, timedelta
from decimal import Decimal as D
from itertools import count

import numpy as np
import pytest
from django.utils import timezone

from builds.jobs.models import Job, Stage
from builds.labour.days import working_day
from builds.labour.forecast import days_in_hand
from builds.labour.foreseen import suggested_promise
from builds.labour.foretelling import Shop, foretell
from builds.labour.models import Step
from builds.labour.readiness import Bench
from builds.labour.waiting import READY, Claim, Missing, TaskState
from builds.labour.working_time import working_time
from tests.factories import (
    JobFactory,
    RoleFactory,
    SpecLineFactory,
    SpecVersionFactory,
    SupplierPriceFactory,
    TaskFactory,
)

FRIDAY = date(2026, 11, 27)
number = count(1)


def part(role="radiator", due=None, ordered=None, lead_days=None, client_supplied=False):
    claim = Claim(next(number), role, 1, "part", D(1), client_supplied, lead_days)
    return Missing(claim, D(1), due, bool(due) if ordered is None else ordered)


def job(pk=1, promise=None, stage=Stage.BENCH, paused=""):
    return Job(pk=pk, number=pk, promise=promise, stage=stage, paused_because=paused)


def task(hours, missing=(), spread=1):
    hours = float(hours)
    step = Step(next(number), 1, "task", 1, hours / spread, hours, hours * spread, None, "", "", False)
    return TaskState(step, READY, (), tuple(missing))


def told(*jobs, hours=6, weeks=None):
    """Forecasts of (job, tasks, missing) on benches of so many hours a day, Monday to Friday."""
    weeks = weeks or [[hours] * 5 + [0, 0]]
    shop = Shop(FRIDAY, hours * 5 * len(weeks), hours * 5, lambda days: working_time(FRIDAY, weeks, days))
    benches = {one.pk: Bench(tuple(tasks), tuple(missing), True) for one, tasks, missing in jobs}
    return foretell([one for one, *_ in jobs], benches, shop)


def alone(tasks, missing=(), **kwargs):
    return told((job(), tasks, missing), **kwargs)[1]


@pytest.mark.parametrize(
    ("left", "day"),
    [("0", FRIDAY), ("6", FRIDAY), ("6.1", date(2026, 11, 30)), ("30", date(2026, 12, 3)), ("38", date(2026, 12, 7))],
)
def test_the_hours_left_fill_working_days_today_among_them(left, day):
    assert alone([task(left)]).day == day


def test_working_days_agree_with_numpys_business_days_on_any_start():
    # An outside count: numpy.busday_count of the half-open stretch after the start.
    for start in (date(2026, 11, day) for day in range(23, 30)):
        for days in range(1, 12):
            end = working_day(start, days)
            after = np.datetime64(start) + 1
            assert np.busday_count(after, np.datetime64(end) + 1) == days
            assert np.is_busday(end)


def test_a_part_no_task_needs_drives_when_it_comes_later_than_the_hours():
    found = alone([task(6)], [part("pump", date(2026, 12, 3)), part("radiator", date(2027, 3, 15))])
    assert found.day == date(2027, 3, 15)
    assert "15 Mar" in found.why
    assert found.without == date(2026, 12, 3)


def test_what_drives_the_date_and_the_day_without_it():
    radiator = part("radiator", date(2026, 12, 10))
    found = alone([task(12, [radiator])], [radiator])
    assert (found.day, found.without) == (date(2026, 12, 11), date(2026, 11, 30))
    assert found.why.startswith("radiator, due Thu 10 Dec")
    assert "without it Mon 30 Nov" in found.why


def test_the_hours_drive_when_they_are_later():
    found = alone([task(38)], [part("pump", date(2026, 12, 3))])
    assert (found.day, found.why) == (date(2026, 12, 7), "38 h left at 30 h a week")


def test_jobs_share_the_bench_and_the_earlier_promise_goes_first():
    late, soon = job(1, promise=date(2027, 2, 1)), job(2, promise=date(2026, 12, 4))
    found = told((late, [task(12)], []), (soon, [task(12)], []))
    assert (found[2].day, found[1].day) == (date(2026, 11, 30), date(2026, 12, 2))
    assert found[1].why == "12 h left, after work on J-0002"
    two = told((late, [task(12)], []), (soon, [task(12)], []), weeks=[[6] * 5 + [0, 0]] * 2)
    assert two[1].day == two[2].day == date(2026, 11, 30)


def test_another_jobs_part_may_drive_and_is_named_with_its_job():
    radiator = part("radiator", date(2026, 12, 10))
    first, then = job(1, promise=date(2026, 12, 1)), job(2, promise=date(2026, 12, 20))
    found = told((first, [task(12, [radiator])], [radiator]), (then, [task(60)], []))
    assert found[1].why.startswith("radiator, due")
    assert found[2].why.startswith("radiator for J-0001, due")


def test_jobs_not_agreed_or_paused_stand_behind_agreed_ones():
    wish = job(1, promise=date(2026, 12, 1), stage=Stage.QUOTED)
    paused = job(2, promise=date(2026, 12, 1), paused="no room")
    agreed = job(3, promise=date(2027, 5, 1))
    found = told((wish, [task(6)], []), (paused, [task(6)], []), (agreed, [task(6)], []))
    assert found[3].day < found[1].day < found[2].day


def test_a_part_not_ordered_takes_its_cheapest_suppliers_time_and_says_so():
    found = alone([task(6)], [part("pump", lead_days=21)])
    assert found.day == date(2026, 12, 18)
    assert found.why.startswith("pump, not ordered; 21 days from the cheapest supplier")


def test_an_overdue_part_holds_no_date_in_the_past():
    found = alone([], [part("pump", date(2026, 11, 20))])
    assert found.day == FRIDAY
    assert "was due" in found.why
    assert "has not come" in found.why


def test_a_part_nobody_can_date_is_named():
    found = alone([task(6)], [part("plate"), part("graphics board", lead_days=9, client_supplied=True)])
    assert found.undated == ("plate", "graphics board")
    assert found.why.endswith("no date yet for plate, graphics board")


def test_the_odds_are_said_with_the_surer_day_later():
    found = alone([task(30, spread=2)])
    assert found.half < found.most
    assert found.odds.startswith("even odds by")


def test_nothing_left_says_so():
    found = alone([])
    assert (found.why, found.odds) == ("nothing left to do", "")


def test_days_in_hand():
    assert days_in_hand(date(2026, 12, 18), date(2026, 12, 21)) == -3
    assert days_in_hand(None, FRIDAY) is None


@pytest.mark.django_db
def test_a_quotes_promise_rests_on_its_own_spec_version():
    ours = JobFactory()
    TaskFactory(job=ours, hours_likely=2)
    agreed = SpecVersionFactory(job=ours, number=1, agreed_at=timezone.now())
    SpecLineFactory(spec=agreed)
    drawn = SpecLineFactory(spec=SpecVersionFactory(job=ours, number=2), role=RoleFactory(job=ours, name="radiator"))
    SupplierPriceFactory(part=drawn.part, lead_days=42)
    found = suggested_promise(ours, drawn.spec)
    day = timezone.localdate() + timedelta(days=42)
    assert found.day == max(day, working_day(day - timedelta(days=1), 1))
    assert found.most >= found.day
    assert found.why.startswith("radiator, not ordered; 42 days from the cheapest supplier")
