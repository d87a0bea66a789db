"""Marked ports, thread against port, trapped air: the makers' marks and common practice."""

from hypothesis import given
from hypothesis import strategies as st

from builds.checks.direction import check
from builds.checks.facts import RunFacts

from .trade import build, cautions, missing, notes, part, step, stops

DEEP = {"port_depth": 6.0}


def through(leaves="out", enters="in", marked=1.0):
    lines = [part("processor_block", inlet_marked=marked, **DEEP), part("radiator", **DEEP)]
    runs = (
        RunFacts("processor_block", "radiator", from_port=leaves),
        RunFacts("radiator", "processor_block", to_port=enters),
    )
    return build(*lines, steps=[step("processor_block"), step("radiator")], runs=runs)


def test_with_the_marks_passes_and_without_marks_either_way():
    assert check(through()) == []
    assert check(through("in", "out", marked=0.0)) == []


def test_against_the_marks_stops():
    assert "against its marks" in stops(check(through("in", "out")))[0]
    assert stops(check(through("in", "in")))


def test_runs_that_do_not_say_are_a_note():
    assert "do not say which port" in notes(check(through("", "")))[0]


def test_a_thread_longer_than_its_port_stops():
    long = part("fitting", thread_length=7.0)
    assert "7 mm long; a port of the radiator is 6 mm deep" in stops(check(build(long, part("radiator", **DEEP))))[0]
    assert check(build(part("fitting", thread_length=6.0), part("radiator", **DEEP))) == []


def test_ports_at_the_bottom_trap_air():
    down = build(part("radiator", **DEEP), steps=[step("radiator", ports_at="down")])
    assert "air stays in it" in cautions(check(down))[0]
    assert check(build(part("radiator", **DEEP), steps=[step("radiator", ports_at="up")])) == []


def test_what_is_not_known_is_asked_for():
    found = check(build(part("fitting"), part("pump"), steps=[step("pump")]))
    assert {dict(f.numbers)["missing"] for f in found} == {"inlet_marked", "thread_length", "port_depth"}
    assert missing(found)["the fitting"] == "thread_length"


@given(st.floats(2, 30), st.floats(0, 10), st.floats(2, 30))
def test_a_longer_thread_never_fits_a_port_better(long, more, deep):
    one, other = (stops(check(build(part("fitting", thread_length=mm), part("radiator", port_depth=deep))))
                  for mm in (long, long + more))  # fmt: skip
    assert len(one) <= len(other)
    assert bool(one) == (long > deep)


@given(st.sampled_from(["", "in", "out"]), st.sampled_from(["", "in", "out"]))
def test_only_the_marked_way_passes(leaves, enters):
    assert (check(through(leaves, enters)) == []) == ((leaves, enters) == ("out", "in"))
