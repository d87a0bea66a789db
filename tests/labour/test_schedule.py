"""When tasks can be done: against textbooks, against networkx, and against what may never be."""

from datetime import date, timedelta
from itertools import pairwise

import networkx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builds.labour.network import Circle
from builds.labour.schedule import PART, Piece, expected, schedule
from builds.labour.working_time import SLOTS_AN_HOUR, working_time

MONDAY = date(2026, 11, 23)
ROUND_THE_CLOCK = working_time(MONDAY, [[24] * 7], 60)


def pieces(network, job="J"):
    """{name: (hours or (low, likely, high), names before)} as Pieces of one job."""
    return [
        Piece(name, job, *(hours if isinstance(hours, tuple) else (hours,) * 3), tuple(after))
        for name, (hours, after) in network.items()
    ]


def in_hours(slots):
    return slots / SLOTS_AN_HOUR


def by_critical_path(network):
    return schedule(pieces(network), {"J": 0}, ROUND_THE_CLOCK, unlimited=True)


def slacks(found):
    return {key: in_hours(one.slack) for key, one in found.placed.items()}


class TestTextbooks:
    """Worked examples of the critical-path method and PERT; sources in each test."""

    def test_a_network_of_seven_activities_on_the_arrow(self):
        # Activities 1-2:7, 1-3:10, 2-4:6, 3-4:5, 3-5:4, 4-5:3, 5-6:2; length 20, slacks 2 0 2 0 4 0 0.
        # Teaching deck on project management, problem 1 (scribd 396883604).
        found = by_critical_path({
            "1-2": (7, []), "1-3": (10, []), "2-4": (6, ["1-2"]), "3-4": (5, ["1-3"]), "3-5": (4, ["1-3"]),
            "4-5": (3, ["2-4", "3-4"]), "5-6": (2, ["3-5", "4-5"]),
        })  # fmt: skip
        assert in_hours(found.last_of["J"].end) == 20
        assert slacks(found) == {"1-2": 2, "1-3": 0, "2-4": 2, "3-4": 0, "3-5": 4, "4-5": 0, "5-6": 0}
        assert [one.piece.key for one in found.chain("J")] == ["1-3", "3-4", "4-5", "5-6"]

    PERT = {
        "A": ((5, 6, 7), ""), "B": ((1, 3, 5), ""), "C": ((1, 4, 7), ""), "D": ((1, 2, 3), "A"),
        "E": ((1, 2, 9), "B"), "F": ((1, 5, 9), "C"), "G": ((2, 2, 8), "C"), "H": ((4, 4, 10), "EF"),
        "I": ((2, 5, 8), "D"), "J": ((2, 2, 8), "HG"),
    }  # fmt: skip

    def test_pert_with_three_estimates(self):
        # The same deck's PERT problem: expected times 6 3 4 2 3 5 3 5 5 3, critical C-F-H-J, length 17.
        assert [expected(*hours) for hours, _ in self.PERT.values()] == [6, 3, 4, 2, 3, 5, 3, 5, 5, 3]
        found = by_critical_path(self.PERT)
        assert in_hours(found.last_of["J"].end) == 17
        assert [one.piece.key for one in found.chain("J")] == ["C", "F", "H", "J"]

    def test_a_network_of_seven_activities_on_the_node(self):
        # A6 B2(A) C2(A) D3(B) E4(D,F) F2(C) G1(E): 16, critical A-B-D-E-G, slack of C and F 1 (studylib 8378728).
        found = by_critical_path({
            "A": (6, ""), "B": (2, "A"), "C": (2, "A"), "D": (3, "B"), "E": (4, "DF"), "F": (2, "C"), "G": (1, "E"),
        })  # fmt: skip
        assert in_hours(found.last_of["J"].end) == 16
        assert {key for key, slack in slacks(found).items() if slack} == {"C", "F"}
        assert slacks(found)["C"] == slacks(found)["F"] == 1


def random_network(rng):
    count = int(rng.integers(1, 40))
    return {
        n: (int(rng.integers(1, 12)), [m for m in range(n) if rng.random() < min(0.4, 3 / count)])
        for n in range(count)
    }  # fmt: skip


def test_five_hundred_random_networks_end_as_networkx_finds_their_longest_path():
    rng = np.random.default_rng(7)
    for _ in range(500):
        network = random_network(rng)
        graph = networkx.DiGraph()
        for after, (_hours, befores) in network.items():
            graph.add_edge("begin", after, weight=0)
            graph.add_edges_from((before, after, {"weight": network[before][0]}) for before in befores)
            graph.add_edge(after, "end", weight=network[after][0])
        found = by_critical_path(network)
        assert in_hours(found.last_of["J"].end) == networkx.dag_longest_path_length(graph)
        assert all(one.slack >= 0 for one in found.placed.values())
        assert all(one.slack == 0 for one in found.chain("J"))


def test_the_calendar_agrees_with_numpys_business_days_and_the_years_holidays():
    # England 2026: 25 and 28 December (observed); 18 December and ten working days is 6 January 2027.
    closed = [date(2026, 12, 25), date(2026, 12, 28), date(2027, 1, 1)]
    time = working_time(date(2026, 12, 18), [[8] * 5 + [0] * 2], 60, closed)
    for days in range(1, 20):
        expects = np.busday_offset("2026-12-18", days - 1, holidays=closed).astype(date)
        found = schedule([Piece("work", "J", *(8 * days,) * 3)], {"J": 0}, time)
        assert found.day("J") == expects


def test_a_person_away_and_a_short_day():
    away = [(date(2026, 11, 25), date(2026, 11, 26))]
    time = working_time(MONDAY, [[6, 6, 6, 6, 3, 0, 0]], 30, away=[away])
    found = schedule([Piece(n, "J", 5, 5, 5, (n - 1,)) for n in range(4)], {"J": 0}, time)
    days = [time.day(one.end) for one in found.placed.values()]
    # Six hours on Monday and Tuesday, three on Friday: the third task ends on the Friday, the fourth on Monday.
    assert days == [date(2026, 11, 23), date(2026, 11, 24), date(2026, 11, 27), date(2026, 11, 30)]


def test_a_part_holds_its_task_while_other_work_goes_on():
    time = working_time(MONDAY, [[8] * 5 + [0] * 2], 60)
    radiator = (date(2026, 12, 3), "supplier", "radiator")
    work = [
        Piece("fit", "urgent", 8, 8, 8, (), (radiator,)), Piece("plumb", "urgent", 8, 8, 8, ("fit",)),
        Piece("paint", "calm", 16, 16, 16),
    ]  # fmt: skip
    found = schedule(work, {"urgent": 0, "calm": 1}, time)
    assert found.day("calm") == date(2026, 11, 24)
    assert (found.placed["fit"].bound, found.placed["plumb"].bound) == (PART, "fit")
    assert found.day("urgent") == date(2026, 12, 4)


def test_the_job_promised_first_has_the_bench_first():
    time = working_time(MONDAY, [[8] * 5 + [0] * 2], 60)
    work = [Piece(n, n, 8, 8, 8) for n in "ab"]
    assert schedule(work, {"a": 1, "b": 0}, time).day("b") == MONDAY
    assert schedule(work, {"a": 0, "b": 1}, time).day("a") == MONDAY


def test_a_circle_is_named_not_walked():
    with pytest.raises(Circle):
        by_critical_path({"a": (1, "b"), "b": (1, "a")})


def test_nobody_at_work_is_an_error():
    with pytest.raises(ValueError, match="nobody works"):
        working_time(MONDAY, [[0] * 7], 30)


def test_shorter_work_may_end_later_as_graham_found():
    # Graham, Bounds on multiprocessing timing anomalies (1969): under any fixed order of tasks a shorter task may
    # bring a later end. Stated here with a network of our own: two people, 7 h; with one task an hour shorter, 8 h.
    network = {0: (2, ()), 1: (2, (0,)), 2: (3, (1,)), 3: (2, (0,)), 4: (2, ()), 5: (3, (3, 4))}

    def takes(first):
        hours = {n: first if n == 0 else h for n, (h, _) in network.items()}
        work = [Piece(n, n, *(hours[n],) * 3, after) for n, (_, after) in network.items()]
        found = schedule(work, {n: n for n in network}, working_time(MONDAY, [[24] * 7] * 2, 9))
        return in_hours(max(one.end for one in found.placed.values()))

    assert takes(first=2) == 7
    assert takes(first=1) == 8


@st.composite
def workshops(draw, most=5):
    """(pieces, ranks, working time) of a few jobs on a few benches."""
    jobs = draw(st.integers(1, most))
    work = []
    for job in range(jobs):
        for n in range(draw(st.integers(1, 6))):
            low = draw(st.integers(0, 40)) / 10
            likely = low + draw(st.integers(0, 30)) / 10
            befores = draw(st.sets(st.integers(0, n - 1), max_size=3)) if n else set()
            day = draw(st.none() | st.integers(-3, 20))
            arrivals = () if day is None else ((MONDAY + timedelta(days=day), f"supplier {day % 3}", f"part {n}"),)
            work.append(Piece((job, n), job, low, likely, likely * 1.5, tuple((job, b) for b in befores), arrivals))
    weeks = draw(st.lists(st.sampled_from([[8] * 5 + [0] * 2, [6, 6, 0, 6, 3, 0, 0]]), min_size=1, max_size=3))
    away = [[(MONDAY + timedelta(days=2), MONDAY + timedelta(days=draw(st.integers(2, 9))))] for _ in weeks]
    ranks = {job: (draw(st.integers(0, 2)), job) for job in range(jobs)}
    return work, ranks, working_time(MONDAY, weeks, 500, (), away)


@given(workshops())
@settings(max_examples=150, deadline=None)
def test_nobody_does_two_things_at_once_and_nothing_comes_before_its_time(given):
    work, ranks, time = given
    found = schedule(work, ranks, time)
    assert found.placed.keys() == {piece.key for piece in work}
    rows = {}
    for one in found.placed.values():
        assert all(found.placed[before].end <= one.start for before in one.piece.after)
        assert one.piece.release is None or one.start >= time.moment(one.piece.release)
        assert one.slack >= 0
        assert one.late_start >= one.start
        if one.work:
            assert time.done[one.person][one.end] - time.done[one.person][one.start] == one.work
            rows.setdefault(one.person, []).append((one.start, one.end))
    for row in rows.values():
        assert all(first[1] <= then[0] for first, then in pairwise(sorted(row)))


@given(workshops(), st.integers(1, 60))
@settings(max_examples=80, deadline=None)
def test_work_behind_all_other_brings_no_date_forward_or_back(given, tenths):
    work, ranks, time = given
    before = schedule(work, ranks, time)
    more = [Piece(("new", n), "new", *(tenths / 10,) * 3) for n in range(3)]
    after = schedule(work + more, {**ranks, "new": (9, 0)}, time)
    assert all(after.placed[key].end == one.end for key, one in before.placed.items())


@given(workshops(), st.integers(0, 2), st.integers(1, 60))
@settings(max_examples=80, deadline=None)
def test_with_one_person_and_no_part_dates_added_work_brings_no_date_forward_whatever_its_rank(given, rank, tenths):
    work, ranks, _time = given
    work = [piece._replace(arrivals=()) for piece in work]
    time = working_time(MONDAY, [[8, 8, 0, 6, 3, 0, 0]], 500, (), [[(MONDAY, MONDAY + timedelta(days=1))]])
    before = schedule(work, ranks, time)
    more = [Piece(("new", n), "new", *(tenths / 10,) * 3) for n in range(3)]
    after = schedule(work + more, {**ranks, "new": (rank, 0)}, time)
    assert all(after.placed[key].end >= one.end for key, one in before.placed.items())


@given(workshops(), st.integers(0, 2), st.integers(1, 60))
@settings(max_examples=80, deadline=None)
def test_with_unlimited_people_added_work_holds_up_what_follows_it_and_nothing_else(given, rank, tenths):
    work, ranks, _time = given
    more = Piece("new", work[0].job, *(tenths / 10,) * 3)
    follows = [piece._replace(after=("new",)) if n == 0 else piece for n, piece in enumerate(work)]
    before = schedule(work, ranks, ROUND_THE_CLOCK, unlimited=True)
    after = schedule([more, *follows], ranks, ROUND_THE_CLOCK, unlimited=True)
    assert all(after.placed[key].end >= one.end for key, one in before.placed.items())
    others = [key for key, one in before.placed.items() if one.piece.job != work[0].job]
    assert all(after.placed[key].end == before.placed[key].end for key in others)


def test_a_known_exception_added_work_that_waits_for_a_part_frees_an_early_gap_for_another_job():
    # An exception of every list schedule that fills gaps: the added task takes the middle of the day from the long
    # one, and the short one, behind both in rank, comes to the morning that nobody can use now.
    time, ranks = working_time(MONDAY, [[24] * 7], 9), {"new": 0, "long": 1, "short": 2}
    work = [Piece("long", "long", 30, 30, 30), Piece("short", "short", 20, 20, 20)]
    assert in_hours(schedule(work, ranks, time).placed["short"].end) == 50
    tomorrow = (MONDAY + timedelta(days=1), "supplier", "pump")
    held = schedule([*work, Piece("new", "new", 4, 4, 4, (), (tomorrow,))], ranks, time)
    assert in_hours(held.placed["short"].end) == 20, "brought forward by thirty hours"
    early = schedule([*work, Piece("new", "new", 4, 4, 4)], ranks, time)
    assert in_hours(early.placed["short"].end) == 54, "without the wait it comes later"
