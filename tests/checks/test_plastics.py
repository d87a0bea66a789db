"""Plastics. Long-term limits from published polymer tables (dencop.cz: PETG 70, rigid PVC 60, PMMA 90 °C), taken with
the design's margins; that acrylic crazes in glycol is common practice."""

from hypothesis import given
from hypothesis import strategies as st

from builds.checks.plastics import LIMITS, check, lowest_limit

from .trade import build, cautions, missing, part


def test_the_weakest_plastic_sets_the_limit():
    lines = [part("tube", name="hard tube", material="PETG"), part("reservoir", wetted_plastics="acrylic cast")]
    assert lowest_limit(build(*lines)) == (60.0, "hard tube")
    assert lowest_limit(build(part("tube", material="glass"))) is None


def test_no_limit_lies_above_the_published_one():
    published = {"PETG": 70, "PVC": 60, "PVC rigid": 60, "acrylic extruded": 90, "acrylic cast": 90}
    assert all(LIMITS[plastic] <= limit for plastic, limit in published.items())


def test_acrylic_in_glycol_crazes():
    acrylic = part("reservoir", wetted_plastics="acrylic cast, acetal")
    assert "crazes" in cautions(check(build(acrylic, part("coolant", fluid="ethylene glycol"))))[0]
    assert check(build(acrylic, part("coolant", fluid="water"))) == []


def test_unknown_plastics_never_pass():
    asked = missing(check(build(part("reservoir"), part("tube"))))
    assert asked == {"the reservoir": "wetted_plastics", "the tube": "material"}


@given(st.lists(st.sampled_from([*LIMITS, "acetal", "rubber"]), min_size=1, max_size=4), st.sampled_from(list(LIMITS)))
def test_one_more_plastic_never_raises_the_limit(plastics, more):
    few, many = (build(*(part("reservoir", role=f"r{n}", wetted_plastics=one) for n, one in enumerate(listed)))
                 for listed in (plastics, [*plastics, more]))  # fmt: skip
    assert lowest_limit(many) <= (lowest_limit(few) or (float("inf"), ""))
    assert lowest_limit(many)[0] == min(LIMITS[one] for one in [*plastics, more] if one in LIMITS)
