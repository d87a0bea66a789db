"""Quantities as a builder types them.

Factors: NIST SP 811 appendix B (mmH2O, inH2O, cubic foot, US gallon), from memory of its values; the inch is
exactly 25.4 mm.
"""

import contextlib
import math
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermal.units import QuantityError, convert, format_quantity, numeral, read_quantity, symbol


@pytest.mark.parametrize(
    ("typed", "unit", "value"),
    [
        ("1 CFM", "m3/h", 1.6990108),
        ("1 cfm", "m3/s", 4.719474e-4),
        ("1 mmH2O", "Pa", 9.80665),
        ("1 inH2O", "Pa", 249.08891),
        ("1 in H2O", "Pa", 249.08891),
        ("1 gpm", "L/min", 3.785411784),
        ("1 psi", "Pa", 6894.757293),
        ("1 in", "mm", 25.4),
        ('1"', "mm", 25.4),
        ("1 bar", "kPa", 100.0),
        ("50 °F", "degC", 10.0),
        ("18 °F", "K", 10.0),
    ],
)
def test_published_factors(typed, unit, value):
    assert read_quantity(typed, unit) == pytest.approx(value, rel=1e-7)


@pytest.mark.parametrize(
    ("typed", "unit", "value"),
    [
        ("104 m³/h", "m3/h", 104),
        ("104m3/h", "m3/h", 104),
        ("1.8 mmH2O", "Pa", 17.65197),
        ("1,8 mm H₂O", "Pa", 17.65197),
        ("45 MM", "mm", 45),
        ("1 3/4 in", "mm", 44.45),
        ("1¾ in", "mm", 44.45),
        ("1/4 in", "mm", 6.35),
        ("0,031 m3/s", "m3/s", 0.031),
        ("16 L/min", "m3/s", 16 / 60000),
        ("30 degC", "degC", 30),
        ("30°C", "degC", 30),
        ("30 C", "degC", 30),
        ("303.15 K", "degC", 30),
        ("10 °C", "K", 10),
        ("10 K", "K", 10),
        ("0.12 °C/W", "K/W", 0.12),
        ("380 W/mK", "W/(m K)", 380),
        ("24 dB(A)", "dB", 24),
        ("24 dBA", "dB", 24),
        ("1 200 rpm", "rpm", 1200),
        ("1200 1/min", "rpm", 1200),
        ("75 %", "1", 0.75),
        ("75", "%", 75),
        ("16 FPI", "1/in", 16),
        ("6.3 fins/cm", "1/in", 16.002),
        ("1.234,5 mm", "mm", 1234.5),
        ("1,234.5 mm", "mm", 1234.5),
        ("1.234.567 mm", "mm", 1234567),
        ("−3 °C", "degC", -3),
        ("5 mW", "W", 0.005),
        ("200 MΩ", "Mohm", 200.0),
        ("5 mΩ", "mohm", 5.0),
        ("5 MW", "W", 5e6),
        ("2,1e-3 m3/s", "m3/s", 0.0021),
        (0.75, "1", 0.75),
        (12, "W", 12),
    ],
)
def test_reads_what_people_type(typed, unit, value):
    assert read_quantity(typed, unit) == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize(
    ("typed", "unit", "code", "word"),
    [
        ("61 W", "m3/h", "dimension", "a power, not a volume flow"),
        ("24 Hz", "rpm", "dimension", "a frequency"),
        ("24 sone", "dB", "unit", "“sone”"),
        ("12 blorg", "mm", "unit", "“blorg”"),
        ("12 m**99", "mm", "unit", "m**99"),
        ("nan", "W", "finite", "nan"),
        ("-inf W", "W", "finite", "inf"),
        ("1e999 W", "W", "finite", "1e999"),
        (math.nan, "W", "finite", "nan"),
        (math.inf, "W", "finite", "inf"),
        ("", "W", "empty", "nothing was typed"),
        ("  ", "W", "empty", "nothing was typed"),
        (None, "W", "empty", "nothing was typed"),
        ("warm", "degC", "number", "“warm”"),
        ("3-4 mm", "mm", "number", "“3-4 mm”"),
        ("12 12 W", "W", "number", "12 12 W"),
        ("1.2.3,4 mm", "mm", "number", "1.2.3,4"),
        ("1,2345,6 mm", "mm", "number", "1,2345,6"),
        ("3/0 in", "mm", "unit", "/0"),
        (True, "W", "number", "True"),
        ([1], "W", "number", "[1]"),
        ("1,200 rpm", "rpm", "ambiguous", "1200 or 1.200"),
        ("9" * 200, "W", "number", "99"),
    ],
)
def test_refuses_with_a_sentence(typed, unit, code, word):
    with pytest.raises(QuantityError) as refusal:
        read_quantity(typed, unit, name="Free flow")
    assert refusal.value.code == code
    assert str(refusal.value).startswith("Free flow: ")
    assert word in str(refusal.value)
    assert "Type for example" in str(refusal.value)


def test_bounds_hold_and_say_so():
    assert read_quantity("1 3/4 in", "mm", lower=44.45, upper=44.45) == 44.45
    with pytest.raises(QuantityError, match=r"Core depth: “-5 mm” is too low: at least 0 mm\. .* 45 mm"):
        read_quantity("-5 mm", "mm", lower=0, upper=200, name="Core depth")
    with pytest.raises(QuantityError, match="at most 90 °C"):
        read_quantity("150 °C", "degC", lower=5, upper=90)


@given(st.floats(-1e6, 1e6), st.sampled_from(["mm", "W", "Pa", "K", "degC", "L/min", "dB", "rpm", "1/in"]))
def test_a_formatted_value_reads_back(value, unit):
    read = read_quantity(format_quantity(value, unit, 12), unit)
    assert read == pytest.approx(value, rel=1e-10, abs=1e-300)


@given(st.text(max_size=40))
def test_no_text_breaks_the_reader(text):
    with contextlib.suppress(QuantityError):
        assert math.isfinite(read_quantity(text, "mm"))


@pytest.mark.parametrize("unit", ["m3/h", "Pa", "mm", "degC", "K", "W", "dB", "rpm", "1", "%", "mohm/m"])
@pytest.mark.parametrize(("lower", "upper"), [(None, None), (0, None), (200, 300), (None, -1)])
def test_the_example_offered_is_itself_taken(unit, lower, upper):
    with pytest.raises(QuantityError) as refusal:
        read_quantity("?", unit, lower=lower, upper=upper)
    value = read_quantity(refusal.value.example, unit, lower=lower, upper=upper)
    assert math.isfinite(value)


def test_prices_keep_every_digit():
    assert numeral("1.234,50 ".strip()) == "1234.50"
    assert numeral("0.100") == "0.100"


def test_convert_refuses_what_does_not_match():
    assert convert(4.0, "L/min", "m3/h") == pytest.approx(0.24)
    with pytest.raises(QuantityError, match="a power, not a length"):
        convert(1.0, "W", "mm")
    with pytest.raises(QuantityError, match="not a unit"):
        convert(1.0, "blorg", "mm")


def test_text_for_people():
    assert format_quantity(math.nan, "W") == "–"
    assert format_quantity(0.0, "W") == "0 W"
    assert format_quantity(-0.0001, "K", 1) == "-0.0001 K"
    assert symbol("m3/h") == "m³/h"


def test_the_registry_is_made_only_when_used():
    code = "import sys, thermal.units; sys.exit('pint' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
