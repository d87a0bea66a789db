"""How sure the dates are: distributions against NumPy, and every sample a schedule that could be worked."""

from datetime import date, timedelta
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings

from builds.labour import sampling
from builds.labour.sampling import late_days, quantile_days, samples, triangular
from builds.labour.schedule import Piece, schedule
from builds.labour.working_time import working_time
from tests.labour.test_schedule import MONDAY, workshops

WEEK = [8] * 5 + [0] * 2


def test_hours_fall_as_numpys_own_triangular_does():
    rng = np.random.default_rng(3)
    ours = triangular([1.0], [2.0], [6.0], rng.random((1, 100_000)))[0]
    theirs = rng.triangular(1, 2, 6, 100_000)
    levels = [0.05, 0.2, 0.5, 0.8, 0.95]
    assert np.quantile(ours, levels) == pytest.approx(np.quantile(theirs, levels), rel=0.02)
    # Mean (a + b + c)/3 and variance (a² + b² + c² − ab − ac − bc)/18: handbook values of the distribution.
    assert ours.mean() == pytest.approx(3, rel=0.01)
    assert ours.var() == pytest.approx(21 / 18, rel=0.02)


def test_hours_without_a_spread_are_what_they_are():
    assert triangular([2.0], [2.0], [2.0], np.array([[0.0, 0.5, 1.0]])).tolist() == [[2, 2, 2]]


def test_a_supplier_is_late_as_it_was_before_and_assumed_so_until_five_deliveries():
    chance = np.random.default_rng(5).random((2, 5000))
    known, new = late_days(["known", "new"], {"known": [0, 0, 10, 10, -4], "new": [30] * 4}, chance)
    assert sorted(set(known)) == [0, 10]
    assert np.mean(known == 10) == pytest.approx(0.4, abs=0.03)
    assert sorted(set(new)) == sorted(set(sampling.UNKNOWN))


def one_job(arrivals=(), likely=8.0):
    work = [Piece(n, "J", likely * 0.5, likely, likely * 2, (n - 1,), arrivals if n == 2 else ()) for n in range(5)]
    return schedule(work, {"J": 0}, working_time(MONDAY, [WEEK], 400))


def test_the_surer_date_is_the_later_one_and_a_seed_repeats_it():
    found = one_job()
    half, most = quantile_days(found, samples(found))["J"]
    assert half < most
    assert quantile_days(found, samples(found))["J"] == (half, most)


def test_the_dates_are_numpys_percentiles_of_a_plain_sum():
    # One person, one chain: the job ends when its hours, summed, are worked; a day holds eight.
    found = one_job()
    rng = np.random.default_rng(11)
    total = sum(rng.triangular(4, 8, 16, 200_000) for _ in range(5))
    opens = [number for number in range(60) if number % 7 < 5]
    expects = [opens[int(np.ceil(np.quantile(total, share) / 8)) - 1] for share in (0.5, 0.8)]
    days = quantile_days(found, samples(found, count=20_000))["J"]
    assert np.abs(np.subtract(days, expects)).max() <= 1


def test_a_supplier_often_late_moves_the_surer_date():
    part = ((MONDAY + timedelta(days=14), "careless", "pump"),)
    punctual, careless = one_job(part), one_job(part)
    _half, on_time = quantile_days(punctual, samples(punctual, {"careless": [0] * 9}))["J"]
    _half, late = quantile_days(careless, samples(careless, {"careless": [0, 0, 0, 21, 21, 21]}))["J"]
    assert late - on_time >= 14


def test_a_date_beyond_the_axis_is_its_last_day():
    work = [Piece("long", "J", 900, 900, 900)]
    found = schedule(work, {"J": 0}, working_time(MONDAY, [WEEK], 30))
    assert found.day("J") == date(2026, 12, 22)
    assert quantile_days(found, samples(found))["J"][1] <= 29


@given(workshops())
@settings(max_examples=60, deadline=None)
def test_in_no_sample_does_anybody_do_two_things_at_once(given):
    work, ranks, time = given
    found, booked = schedule(work, ranks, time), []
    keep = sampling._Bench._book

    def noted(bench, spot, fits, start, until):
        booked.append((spot // bench.count, start.copy(), until.copy()))
        keep(bench, spot, fits, start, until)

    sampling._Bench._book = noted
    try:
        ends = samples(found, count=12)
    finally:
        sampling._Bench._book = keep
    for sample in range(12):
        rows = {}
        for who, start, ended in booked:
            rows.setdefault(who[sample], []).append((start[sample], ended[sample]))
        for row in rows.values():
            assert all(first[1] <= then[0] for first, then in pairwise(sorted(row)))
    for key, end in ends.items():
        for before in found.placed[key].piece.after:
            assert before not in ends or (ends[before] <= end).all()
