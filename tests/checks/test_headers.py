"""Header currents: three quarters of the rating, 1 A where it is not known. Common practice."""

from hypothesis import given
from hypothesis import strategies as st

from builds.checks.headers import check

from .trade import build, missing, notes, part, stops

BOARD = {"header_current": 1.0, "fan_headers": 4.0}


def fed(line, by="board", outlets=1):
    return type(line)(**{**vars(line), "fed_from": by, "outlets": outlets})


def fans(quantity=3, current=0.2, **how):
    return fed(part("fan", quantity=quantity, current=current), **how)


def test_a_few_fans_on_a_header_pass():
    assert check(build(part("board", **BOARD), fans())) == []


def test_a_splitter_adds_onto_its_header():
    found = check(build(part("board", **BOARD), fans(quantity=6)))
    assert "draws 1.20 A from one output of the board; 0.75 A are safe" in stops(found)[0]
    assert check(build(part("board", **BOARD), fans(quantity=6, outlets=2))) == []


def test_a_pump_draws_from_the_supply_unless_the_header_is_rated_for_it():
    weak = check(build(part("board", **BOARD), fed(part("pump", heat=18.0))))
    assert "Feed the pump from the supply" in next(f for f in weak if f.severity == "stop").action
    strong = part("board", fan_headers=4.0, header_current=3.0)
    assert check(build(strong, fed(part("pump", heat=18.0)))) == []
    assert (
        check(build(part("power_supply"), part("board", **BOARD), fed(part("pump", heat=18.0), "power_supply"))) == []
    )


def test_a_hub_with_its_own_supply_does_not_load_the_header():
    hub = {"outputs": 8.0, "output_current": 4.0}
    lines = [part("board", **BOARD), fans(quantity=8, by="controller", outlets=8)]
    assert check(build(*lines, fed(part("controller", own_supply=1.0, **hub)))) == []
    bare = check(build(*lines, fed(part("controller", own_supply=0.0, **hub))))
    assert "the controller draws 1.60 A" in stops(bare)[0]


def test_more_outputs_than_there_are_stop():
    found = check(build(part("board", header_current=1.0, fan_headers=2.0), fans(outlets=3)))
    assert "3 outputs of the board are spoken for; it has 2" in stops(found)[0]


def test_what_is_not_known_is_asked_for():
    assert missing(check(build(part("fan"), part("pump")))) == {"the fan": "current", "the pump": "heat"}
    assert "not said what feeds the fan" in notes(check(build(part("fan", current=0.1))))[0]
    found = check(build(part("board"), fans(quantity=5)))
    assert {dict(f.numbers).get("missing") for f in found} >= {"header_current", "fan_headers"}
    assert stops(found), "1 A is taken where a header's rating is not known"


@given(st.integers(1, 20), st.integers(1, 20), st.floats(0.01, 1.0))
def test_one_more_fan_never_makes_it_safer(few, more, current):
    one, other = (check(build(part("board", header_current=1.0, fan_headers=9.0), fans(n, current)))
                  for n in (few, few + more))  # fmt: skip
    assert len(stops(one)) <= len(stops(other))
