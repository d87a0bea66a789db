"""The log of a soak test, read and judged without a database: every doubt by its name, none of them a pass."""

import dataclasses

import numpy as np
import pytest

from builds.proving import soak as soak_test
from builds.proving.judgement import OPEN, PASSED, Flow, Limits, Machine, Predicted
from builds.proving.log_columns import Reading, gathered, guess
from builds.proving.log_faults import look_over
from builds.proving.log_file import LogError, read_log
from builds.proving.log_result import lacking, reduced, result_of
from builds.proving.log_times import TimeDoubt, read_times

from .soaklog import NOISE_K, RISE_K, TAU_S, soak, written

MACHINE = Machine(
    predicted=(
        Predicted("coolant", "coolant", 9.2, 7.5, 11.5, limit_c=55.0),
        Predicted("part_1", "processor", 22.0, 17.0, 29.0, limit_c=90.0),
        Predicted("part_2", "graphics board", 20.2, 16.0, 27.0, limit_c=88.0),
    ),
    heat_w=300.0,
    time_constant_min=4.0,
    room_warmest_c=28.0,
)
LABELS = [p.label for p in MACHINE.predicted]


def look(data, **options):
    log = read_log(data)
    return look_over(gathered(log, Reading(tuple(guess(log.headings, LABELS)), **options)))


def judged(data, **options):
    """(doubts, judgement or None): what importing the log comes to."""
    looked = look(data, **options)
    if looked.doubts:
        return looked.doubts, None
    result = result_of(looked.columns, MACHINE)
    assert not lacking(result, MACHINE)
    return looked.doubts, soak_test.judge(result.measured, result.slower(MACHINE), Limits())


@pytest.mark.parametrize(
    "form",
    [
        {},
        {"mark": ","},
        {"mark": "\t", "comma": True},
        {"comma": True, "clock": "%d.%m.%Y %H:%M:%S"},
        {"clock": "%Y-%m-%dT%H:%M:%S"},
        {"clock": "%m/%d/%Y %I:%M:%S %p", "mark": ","},
        {"clock": "%H:%M:%S"},
        {"before": "Logger 4 channels\nfirmware;2.1\n\n"},
    ],
)
def test_a_sound_log_passes_however_it_is_written(form):
    doubts, judgement = judged(written(soak(), **form))
    assert not doubts
    assert judgement.outcome == PASSED
    assert not judgement.findings


def test_any_order_of_columns_and_headings_in_another_language():
    data = soak()
    names = {"fan rpm": "Lüfter", "graphics": "GPU", "coolant": "Wasser", "time": "Zeit (s)",
             "load (W)": "Leistung (W)", "processor": "CPU", "room": "Raumluft Umgebung"}  # fmt: skip
    turned = {name: data[name] for name in names}
    assert judged(written(turned, headings=list(names.values())))[1].outcome == PASSED


def test_fahrenheit_is_read_and_said():
    data = soak()
    for name in ("room", "coolant", "processor", "graphics"):
        data[name] = data[name] * 1.8 + 32.0
    headings = ["time", "room (°F)", "coolant (°F)", "processor [F]", "graphics °F", "fan rpm", "load (W)"]
    looked = look(written(data, headings=headings))
    assert not looked.doubts
    assert sum("was logged in °F" in note for note in looked.notes) == 4
    assert result_of(looked.columns, MACHINE).measured["coolant"] == pytest.approx(22.0 + RISE_K, abs=0.1)


def test_fahrenheit_that_nobody_declared_is_no_pass():
    data = soak()
    for name in ("room", "coolant", "processor", "graphics"):
        data[name] = data[name] * 1.8 + 32.0
    (first, *_more) = look(written(data)).doubts
    assert "looks like °F" in first
    assert not look(written(data), temperature="degF").doubts


def spoilt(name):
    data = soak()
    if name == "gap":
        keep = (data["time"] < 2000.0) | (data["time"] > 2900.0)
        return {key: values[keep] for key, values in data.items()}
    if name == "swapped":
        data["room"], data["coolant"] = data["coolant"], data["room"]
    if name == "backwards":
        data["time"] = np.where(data["time"] > 3000.0, data["time"] - 1800.0, data["time"])
    if name == "at 127":
        data["processor"] = np.where(data["time"] > 4000.0, 127.0, data["processor"])
    if name == "at 0":
        data["coolant"] = np.zeros_like(data["coolant"])
    if name == "still":
        data["graphics"] = np.full_like(data["graphics"], 41.0)
    if name == "part swapped":
        data["processor"], data["coolant"] = data["coolant"], data["processor"]
    return data


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        ("gap", "gaps, 1 in all, the first after line 1001, the longest of 15 min"),
        ("swapped", "Are the two columns swapped?"),
        ("backwards", "clock goes backwards by 1798 s in line 1503"),
        ("at 127", "sensor of processor reads 127"),
        ("at 0", "sensor of the coolant reads 0"),
        ("still", "stays at 41.0 °C"),
        ("part swapped", "cooler than the coolant"),
    ],
)
def test_each_doubt_is_named_and_none_is_a_pass(spoil, words):
    doubts, judgement = judged(written(spoilt(spoil)))
    assert judgement is None
    assert any(words in doubt for doubt in doubts), doubts


def test_what_comes_after_a_gap_can_be_judged_by_itself():
    doubts, judgement = judged(written(spoilt("gap")), from_minute=48.4)
    assert not doubts
    assert judgement.outcome == PASSED


def test_two_ways_of_writing_the_time_are_named():
    first = written(soak(600.0), clock="%d.%m.%Y %H:%M:%S")
    second = written(soak(600.0), clock="%Y-%m-%d %H:%M:%S").split(b"\n", 1)[1]
    with pytest.raises(TimeDoubt, match=r"two ways: “03.03.2026 09:30:00” first, “2026-03-03 09:30:00” in line 302"):
        look(first + second)


def test_a_clock_of_two_numbers_may_be_hours_or_minutes():
    with pytest.raises(TimeDoubt, match="hours and minutes or minutes and seconds"):
        read_times(("00:01", "00:02", "00:03"))


def test_a_clock_that_passes_midnight_goes_on():
    assert list(read_times(("23:59:58", "23:59:59", "0:00:00", "0:00:01"))) == [0.0, 1.0, 2.0, 3.0]


@pytest.mark.parametrize(
    ("cells", "seconds"),
    [
        (("1772530200", "1772530202"), 2.0),  # seconds since 1970
        (("1772530200000", "1772530202000"), 2.0),
        (("31.12.2025 23:59:59", "01.01.2026 00:00:01"), 2.0),
        (("12/31/2025 11:59:59 PM", "1/1/2026 12:00:01 AM"), 2.0),
        (("2026-03-03 09:30:00.250", "2026-03-03 09:30:02.250"), 2.0),
        (("2026-03-03T09:30:00Z", "2026-03-03T09:30:02Z"), 2.0),
        (("9:59:59", "10:00:01"), 2.0),
    ],
)
def test_ways_to_write_a_time(cells, seconds):
    assert read_times(cells)[-1] == pytest.approx(seconds)


def test_a_soak_shorter_than_five_time_constants_is_not_judged():
    slow = dataclasses.replace(MACHINE, time_constant_min=12.0)
    looked = look(written(soak(50 * 60.0)))
    judgement = soak_test.judge(result_of(looked.columns, slow).measured, slow, Limits())
    assert judgement.outcome == OPEN
    assert "at least 60 min" in judgement.reasons[0]


def test_a_loop_slower_than_reckoned_is_held_to_what_its_log_shows():
    """τ 12 min, measured; the model reckons 4: five of the longer are not over after 45 min."""
    data = soak(45 * 60.0)
    rise = RISE_K * (1.0 - np.exp(-data["time"] / 720.0))
    for name, over in (("coolant", 0.0), ("processor", 12.8), ("graphics", 11.0)):
        data[name] = 22.0 + rise + over + np.random.default_rng(3).normal(0.0, 0.05, len(rise))
    result = result_of(look(written(data)).columns, MACHINE)
    assert result.constant_min == pytest.approx(12.0, rel=0.1)
    assert soak_test.judge(result.measured, result.slower(MACHINE), Limits()).outcome == OPEN


def test_a_flow_in_the_log_is_held_against_the_one_foretold():
    flowing = dataclasses.replace(MACHINE, flow=Flow(3.8, 3.3, 4.4))
    for litres, found in ((3.8, 0), (2.0, 1)):
        columns = soak()
        columns["flow (L/h)"] = np.full(len(columns["time"]), litres * 60.0)
        result = result_of(look(written(columns)).columns, flowing)
        assert result.measured["flow"] == pytest.approx(litres)
        findings = soak_test.judge(result.measured, result.slower(flowing), Limits()).findings
        assert len([finding for finding in findings if "flow" in finding]) == found


def test_a_load_that_changed_starts_the_time_anew():
    data = soak()
    data["load (W)"] = np.where(data["time"] < 4000.0, 200.0, data["load (W)"])
    measured = result_of(look(written(data)).columns, MACHINE).measured
    assert measured["minutes"] == pytest.approx((5398.0 - 4000.0) / 60.0, abs=1.1)
    assert measured["load"] == pytest.approx(300.0, abs=2.0)


@pytest.mark.parametrize("seed", range(5))
def test_settling_is_recovered_from_noise_as_well_as_scipy_does(seed):
    """Against scipy.optimize.curve_fit of T = room + ΔT·(1 − exp(−t/τ)) on the same log: final value within 0.05 K,
    time constant within 5 %, and both that near to what the log was made with (noise of 0.1 K)."""
    from scipy.optimize import curve_fit

    data = soak(seed=seed)
    rise = data["coolant"] - data["room"]
    (final, tau), _error = curve_fit(lambda t, a, b: a * (1.0 - np.exp(-t / b)), data["time"], rise, p0=(8.0, 200.0))
    result = result_of(look(written(data)).columns, MACHINE)
    found = result.measured["coolant"] - result.measured["room"]
    assert found == pytest.approx(final, abs=3 * NOISE_K / np.sqrt(300) + 0.03)
    assert found == pytest.approx(RISE_K, abs=0.05)
    assert result.constant_min * 60.0 == pytest.approx(tau, rel=0.05)
    assert result.constant_min * 60.0 == pytest.approx(TAU_S, rel=0.05)


def test_few_points_keep_every_peak():
    times = np.arange(200_000.0)
    values = np.random.default_rng(1).normal(0.0, 1.0, len(times))
    values[[31_337, 150_001]] = 40.0, -40.0
    points = reduced(times, values)
    assert len(points) <= 500
    assert [31_337.0, 40.0] in points
    assert [150_001.0, -40.0] in points
    assert (points[0][0], points[-1][0]) == (0.0, 199_999.0)
    assert points == sorted(points)


def test_a_logger_that_writes_whole_seconds_loses_no_row():
    data = soak(3600.0, step=0.5)
    data["time"] = np.floor(data["time"])
    looked = look(written(data))
    assert len(looked.columns.times) == 7200
    assert np.all(np.diff(looked.columns.times) > 0.0)


def test_rows_without_a_reading_are_left_out_and_said():
    lines = written(soak()).split(b"\n")
    lines[100] = lines[100].rsplit(b";", 3)[0] + b";;;"
    looked = look(b"\n".join(lines))
    assert "1 of 2700 rows lack a reading" in looked.notes[0]
    assert not looked.doubts


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "no log"),
        (b"\x89PNG\r\n", "not a CSV file"),
        (b"just a letter\nto a friend\n", "no log"),
        (b"time,room,coolant\n" + b"".join(b"%d,22,1,31,4\n" % n for n in range(90)), "decimal commas between commas"),
    ],
)
def test_what_is_no_log_is_said(data, words):
    with pytest.raises(LogError, match=words):
        read_log(data)
