"""Take-off: tube volumes from the bore (8/10/12.7/13 mm: 50.27/78.54/126.68/132.73 mL/m, geometry); one spare in
eight, at least two, is common practice."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.checks.facts import RunFacts
from builds.checks.take_off import check, take_off, tube_volume_ml, volume, with_spares

from .trade import build, cautions, missing, notes, part, step


@pytest.mark.parametrize(("bore", "ml"), [(8, 50.27), (10, 78.54), (12.7, 126.68), (13, 132.73)])
def test_a_metre_of_tube_holds(bore, ml):
    assert tube_volume_ml(1000, bore) == pytest.approx(ml, abs=0.005)


ROLES = ["pump_reservoir", "processor_block", "radiator"]


def loop(tube=3.0, coolant=1.0, fittings=8.0, ports=2.0, more=(), **how):
    lines = [
        part("pump_reservoir", volume=250.0, ports=ports), part("radiator", volume=120.0, ports=2.0),
        part("processor_block", volume=30.0, ports=2.0), part("tube", bore=10.0, quantity=tube),
        part("coolant", quantity=coolant), part("fitting", form="straight", quantity=fittings),
        part("fitting", role="drain", form="drain valve"), *more,
    ]  # fmt: skip
    return build(*lines, steps=[step(role) for role in ROLES], **{"tube_length_mm": 2000.0, **how})


SPLITTER = part("fitting", role="splitter", form="splitter")


def wanted(facts):
    return {item.key: item.wanted for item in take_off(facts)[0]}


def test_enough_of_everything_passes():
    assert check(loop(more=[SPLITTER])) == []
    assert volume(loop())[0] == pytest.approx(250 + 120 + 30 + 157.08, abs=0.01)


def test_too_little_of_each_is_said():
    assert (
        "Tube: the loops take 2 m; with spares that is 2.3 m, and the spec has 1.5 m"
        in cautions(check(loop(tube=1.5)))[0]
    )
    assert "Coolant: the loops take 0.557 L; with spares that is 0.7 L" in cautions(check(loop(coolant=0.6)))[0]
    assert "take 6; with spares that is 8, and the spec has 6" in cautions(check(loop(fittings=6.0)))[0]


def test_a_drain_takes_a_free_port_else_a_splitter():
    assert wanted(loop())["splitter"] == 1
    assert "plug" not in wanted(loop())
    four = wanted(loop(ports=6.0))
    assert "splitter" not in four
    assert four["plug"] == with_spares(3), "one of four free ports holds the drain"


def test_what_the_spec_has_none_of_is_a_note():
    assert "Splitters for a drain: the loops take 1 with spares, and the spec has none." in notes(check(loop()))


def test_runs_bring_angles_and_bulkheads():
    around = zip(ROLES, [*ROLES[1:], ROLES[0]], strict=True)
    runs = tuple(RunFacts(a, b, 300.0, angles=1, bulkheads=int(a == "radiator")) for a, b in around)
    items = wanted(loop(runs=runs))
    assert (items["straight"], items["angle"], items["bulkhead"]) == (with_spares(6 + 2), with_spares(3), 1)
    clamp = part("fitting", role="angles", form="angle 90", tube_outside=13.0)
    assert wanted(loop(runs=runs, more=[clamp]))["straight"] == with_spares(8 - 3), "angles that hold tube themselves"


def test_an_unknown_volume_and_port_count_are_asked_for():
    found = check(build(part("pump"), part("coolant", quantity=9), steps=[step("pump")]))
    assert sorted(dict(f.numbers)["missing"] for f in found if "missing" in dict(f.numbers)) == ["ports", "volume"]
    assert missing(found).keys() == {"the pump"}


@given(st.integers(1, 500))
def test_spares_are_an_eighth_and_at_least_two(count):
    spare = with_spares(count) - count
    assert spare >= 2
    assert spare >= count / 8
    assert with_spares(count + 1) > with_spares(count)
