"""Plastics. Long-term limits from published polymer tables (dencop.cz: PETG 70, rigid PVC 60, PMMA 90 °C), taken with
the design's margins; that acrylic crazes in glycol is common practice."""

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
