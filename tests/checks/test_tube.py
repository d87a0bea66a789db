"""Fittings on tube: diameters are common practice; G 1/4 is a parallel thread that seals on an O-ring (ISO 228-1)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.checks.tube import check, holds_tube

from .trade import build, missing, part, stops

TUBE = {"bore": 10.0, "outside": 13.0}


def pair(tube=TUBE, **fitting):
    facts = {"form": "straight", "thread": "G 1/4", "tube_outside": 13.0, "tube_bore": 10.0, **fitting}
    return build(part("tube", **tube), part("fitting", **facts))


def test_the_fitting_for_the_tube_passes():
    assert check(pair()) == []
    assert check(pair(tube_outside=13.2)) == []


@pytest.mark.parametrize(("tube", "shown"), [((10.0, 16.0), "10/16"), ((12.7, 13.0), "12.7/13")])
def test_another_tube_stops(tube, shown):
    found = check(pair(tube=dict(zip(("bore", "outside"), tube, strict=True))))
    assert f"holds tube of 10/13 mm; the spec has the tube: {shown} mm" in stops(found)[0]


def test_hard_tube_needs_only_its_outside():
    lines = part("tube", bore=12.0, outside=14.0), part("fitting", form="straight", thread="G 1/4", tube_outside=14.0)
    assert check(build(*lines)) == []


def test_plugs_and_adapters_hold_no_tube():
    assert not holds_tube(part("fitting", form="plug"))
    assert not holds_tube(part("fitting", form="angle 90"))
    assert holds_tube(part("fitting", form="angle 90", tube_outside=13.0))
    assert check(build(part("tube", **TUBE), part("fitting", form="plug", thread="G 1/4"))) == []


def test_ports_with_another_thread_stop():
    found = check(build(part("fitting", form="plug", thread="G 1/4"), part("radiator", port_thread="G 3/8")))
    assert "has G 3/8 ports; the fittings have G 1/4" in stops(found)[0]


def test_what_is_not_known_is_asked_for():
    found = check(build(part("tube", bore=10.0), part("fitting", form="straight"), part("radiator")))
    assert missing(found)["the tube"] == "outside"
    assert missing(found)["the radiator"] == "port_thread"
    assert {"tube_outside", "thread"} <= {dict(f.numbers)["missing"] for f in found}


@given(st.floats(6, 25), st.floats(0, 5), st.floats(0, 5))
def test_a_tube_further_off_never_fits_better(holds, off, more):
    def found(outside):
        return stops(check(build(part("tube", bore=5.0, outside=outside),
                                 part("fitting", form="straight", thread="G 1/4", tube_outside=holds))))  # fmt: skip

    assert len(found(holds + off)) <= len(found(holds + off + more))
    assert len(found(holds - off)) <= len(found(holds - off - more))
