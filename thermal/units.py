"""The door for quantities: the one unit registry, and the reader of quantities typed by a person.

Everything inside `thermal` is a float in SI; everything typed, imported or read from a document comes
through `read_quantity`. The registry (pint) is made when first needed, because importing it takes longer
than starting the rest of the tool. Conversion factors: NIST SP 811; 1 CFM is one international cubic foot
a minute, 1 gpm one US gallon a minute, mmH2O and inH2O the conventional columns (9.80665 Pa, 249.08891 Pa).
"""

import math
import re
from functools import lru_cache

from .numerals import Ambiguous, NotANumber, numeral, split_number

__all__ = ["QuantityError", "convert", "format_quantity", "numeral", "read_quantity", "registry", "symbol"]

# Spellings of a whole unit that the registry would refuse, or take for something else. Lower case.
_WHOLE = {
    "cfm": "foot**3/minute", "gpm": "gallon/minute", "lpm": "L/minute", "lph": "L/hour", "mm h2o": "mmH2O",
    "mmws": "mmH2O", "mmwc": "mmH2O", "mmwg": "mmH2O", "in h2o": "inH2O", "inwg": "inH2O", "inwc": "inH2O",
    "rpm": "shaft_rpm", "1/min": "shaft_rpm", "min-1": "shaft_rpm", "rev/min": "shaft_rpm",
    "r/min": "shaft_rpm", "u/min": "shaft_rpm", "db": "dBA", "dba": "dBA", "db(a)": "dBA", "db a": "dBA",
    "db (a)": "dBA", "": "1", "1": "1", "x": "1", "%": "percent", "awg": "AWG", "fpi": "1/inch",
    "w/mk": "W/m/kelvin", "w/(m k)": "W/m/kelvin", "w/(m·k)": "W/m/kelvin", "j/kgk": "J/kg/kelvin",
    "j/(kg k)": "J/kg/kelvin", "w/m2k": "W/m**2/kelvin",
}  # fmt: skip
# The same for the parts of a compound such as °C/W, and careless capitals; but a prefix keeps its capital
# where both exist (mW and MW).
_TOKEN = {
    "c": "degC", "degc": "degC", "f": "degF", "degf": "degF", "k": "kelvin", "in": "inch", '"': "inch",
    "''": "inch", "'": "foot", "ft": "foot", "mil": "thou", "mm": "mm", "cm": "cm", "m": "m", "h": "hour",
    "hr": "hour", "hrs": "hour", "min": "minute", "mins": "minute", "s": "s", "sec": "s", "l": "L",
    "ml": "mL", "cl": "cL", "kpa": "kPa", "hpa": "hPa", "pa": "Pa", "mbar": "mbar", "bar": "bar", "w": "W",
    "kw": "kW", "v": "V", "a": "A", "ma": "mA", "kg": "kg", "g": "g", "mmh2o": "mmH2O", "inh2o": "inH2O",
    "fins": "1", "ohms": "ohm", "ω": "ohm", "mω": "mohm", "cfm": "foot**3/minute",
}  # fmt: skip
_SYMBOL = {
    "degC": "°C", "1": "", "dB": "dB(A)", "1/in": "FPI", "inch": "in", "ohm": "Ω", "mohm": "mΩ", "Mohm": "MΩ",
    "degF": "°F",
}  # fmt: skip
# What to type instead: an example a unit; any other unit gets a number with the unit itself.
_EXAMPLE = {
    "m3/s": "104 m³/h", "m3/h": "104 m³/h", "Pa": "1.8 mmH2O", "kPa": "45 kPa", "mm": "45 mm",
    "m": "2.0 m|45 mm|5 mm|0.1 mm",
    "degC": "22 °C", "K": "10 K", "W": "120 W", "K/W": "0.12 K/W", "dB": "24 dB(A)", "rpm": "1200 rpm",
    "1": "0.75", "%": "5 %", "1/in": "16 FPI", "L/min": "3.8 L/min", "bar": "0.5 bar",
    "m3": "0.25 L", "mL": "250 mL", "L": "0.25 L",
}  # fmt: skip
_KIND = {
    "m": "a length", "m**2": "an area", "m**3": "a volume", "m**3/s": "a volume flow", "Pa": "a pressure",
    "W": "a power", "kelvin": "a temperature", "kelvin/W": "a thermal resistance", "s": "a time",
    "kg": "a mass", "A": "a current", "V": "a voltage", "ohm": "an electrical resistance", "m/s": "a speed",
    "1/m": "a count per length", "1": "a plain number", "shaft_rpm": "a shaft speed", "dBA": "a sound level",
    "AWG": "a wire gauge", "1/s": "a frequency",
}  # fmt: skip
_UNIT_TOKEN = re.compile(r"([A-Za-zµωΩ_\"']*[A-Za-zµωΩ\"'1])(?:\^?(-?[1-4]))?$")


class QuantityError(ValueError):
    """A typed quantity cannot be used. `str()` names the field, what is wrong and what to type instead.

    `code` is one of empty, number, ambiguous, unit, dimension, finite, low, high; `field`, `typed` and
    `example` hold what the sentence names, for a caller that words it in another language; `what` is the
    sentence without the field.
    """

    def __init__(self, what, *, code, field="This value", typed="", example=""):
        super().__init__(f"{field}: {what}")
        self.what, self.code, self.field, self.typed, self.example = what, code, field, typed, example


class _Unfit(Exception):
    """(code, what is wrong) on its way to the sentence."""


@lru_cache(maxsize=1)
def registry():
    """The one pint registry, with the trade's own units added (made at the first call)."""
    import pint

    ureg = pint.UnitRegistry(on_redefinition="ignore")
    ureg.define("mmH2O = 9.80665 pascal")
    ureg.define("inH2O = 249.08891 pascal")
    # Turns and levels have dimensions of their own here: pint makes 1 rpm 0.105 Hz, and a level a bare ratio.
    ureg.define("shaft_rpm = [shaft_speed]")
    ureg.define("dBA = [sound_level]")
    ureg.define("AWG = [wire_gauge]")
    return ureg


def read_quantity(text, unit, *, lower=None, upper=None, name=""):
    """Read a quantity as a person types it and return it as a float in `unit`.

    text: "61 CFM", "1.8 mmH2O", "1 3/4 in", "0,031 m3/s", "75 %", or a number (already in `unit`).
    unit: the unit wanted ("m3/s", "Pa", "degC" for a temperature, "K" for a difference, "dB", "rpm", "1").
    lower, upper: bounds in `unit`, themselves allowed. name: the field, as the person knows it.
    Raises QuantityError with a sentence that names the field, what was typed and what to type instead.

    >>> round(read_quantity("61 CFM", "m3/h"), 2), read_quantity("1 3/4 in", "mm")
    (103.64, 44.45)
    >>> read_quantity("86 °F", "degC"), read_quantity("10 °C", "K"), read_quantity("75 %", "1")
    (30.0, 10.0, 0.75)
    >>> read_quantity("61 W", "m3/h", name="Free flow")
    Traceback (most recent call last):
    thermal.units.QuantityError: Free flow: “61 W” is a power, not a volume flow. Type for example 104 m³/h.
    """
    try:
        value = _read(text, unit)
        if not math.isfinite(value):
            raise _Unfit("finite", f"“{text}” is not a number that can be used.")
        if lower is not None and value < lower:
            raise _Unfit("low", f"“{text}” is too low: at least {format_quantity(lower, unit, 6)}.")
        if upper is not None and value > upper:
            raise _Unfit("high", f"“{text}” is too high: at most {format_quantity(upper, unit, 6)}.")
    except _Unfit as unfit:
        code, what = unfit.args
        example = _example(unit, lower, upper)
        what = f"{what} Type for example {example}."
        field = name or "This value"
        raise QuantityError(what, code=code, field=field, typed=str(text)[:80], example=example) from None
    return value


def convert(value, source, target):
    """Convert a number or an array from one unit to another. Raises QuantityError when they do not match.

    "degC" and "degF" are places on a scale, "K" is a difference: 30 degC to K is 30 steps.

    >>> round(convert(1.0, "CFM", "m3/h"), 7), round(convert(8.0, "mmH2O", "Pa"), 4)
    (1.6990108, 78.4532)
    """
    try:
        scale, offset = _linear(source, target)
    except _Unfit as unfit:
        code, what = unfit.args
        raise QuantityError(what, code=code, typed=source) from None
    return value * scale + offset


def format_quantity(value, unit, digits=3):
    """A value in `unit` as text with its symbol, to `digits` significant figures, for people.

    >>> format_quantity(103.64, "m3/h"), format_quantity(0.75, "1"), format_quantity(1234.5, "rpm")
    ('104 m³/h', '0.75', '1234 rpm')
    """
    if not math.isfinite(value):
        return "–"
    size = math.floor(math.log10(abs(value))) if value else 0
    number = f"{value:.{max(0, digits - 1 - size)}f}" if -6 < size < 15 else f"{value:.{digits - 1}e}"
    if "." in number and "e" not in number:
        number = number.rstrip("0").rstrip(".")
    return f"{'0' if number == '-0' else number} {symbol(unit)}".strip()


def symbol(unit):
    """The printed symbol of a unit: "m3/h" → "m³/h", "degC" → "°C"."""
    return _SYMBOL.get(unit, unit.replace("m3", "m³").replace("m2", "m²"))


def _read(text, unit):
    """The value in `unit`; _Unfit says what is wrong with the text."""
    if text is None or (isinstance(text, str) and not text.strip()):
        raise _Unfit("empty", "nothing was typed.")
    if not isinstance(text, str):
        try:
            if isinstance(text, bool):
                raise TypeError
            return float(text)
        except (TypeError, ValueError, OverflowError):
            raise _Unfit("number", f"“{str(text)[:60]}” is not a number.") from None
    if re.fullmatch(r"\s*[+-]?(nan|inf(inity)?)\b.*", text, re.IGNORECASE | re.DOTALL):
        raise _Unfit("finite", f"“{text[:60]}” is not a number that can be used.")
    try:
        number, typed = split_number(text)
    except Ambiguous as ambiguous:
        raise _Unfit("ambiguous", f"“{text}” may mean {' or '.join(ambiguous.readings)}.") from None
    except NotANumber:
        raise _Unfit("number", f"“{text[:60]}” is not one number with its unit.") from None
    if not typed:
        return number
    try:
        scale, offset = _linear(typed, unit)
    except _Unfit as unfit:
        code, what = unfit.args
        if code == "dimension":
            what = f"“{text[:60]}” {what.partition('” ')[2]}"
        raise _Unfit(code, what) from None
    if (scale, offset) == (1.0, 0.0):
        return number
    # Twelve figures: the float noise of a factor must not break a bound typed in the other unit.
    return float(f"{number * scale + offset:.12g}")


@lru_cache(maxsize=1024)
def _linear(source, target):
    """(scale, offset) with value_in_target = value_in_source·scale + offset."""
    ureg = registry()
    typed, wanted = _parse(source), _parse(target)
    scales = {ureg.Unit("degC"): ureg.Unit("delta_degC"), ureg.Unit("degF"): ureg.Unit("delta_degF")}
    on_scale = wanted in scales
    if not on_scale:  # a difference: °C then counts as a step, not as a place on the scale
        typed = scales.get(typed, typed)
    if typed.dimensionality != wanted.dimensionality:
        raise _Unfit("dimension", f"“{source}” is {_kind(typed)}, not {_kind(wanted)}.")
    step, wanted_step = scales.get(typed, typed), scales.get(wanted, wanted)
    scale = float(ureg.Quantity(1.0, step).to(wanted_step).magnitude)
    offset = float(ureg.Quantity(0.0, typed).to(wanted).magnitude) if on_scale else 0.0
    return scale, offset


def _parse(text):
    import pint

    if len(text) > 24:
        raise _Unfit("unit", f"“{text[:24]}…” is not a unit known here.")
    try:
        return registry().Unit(_spelling(text))
    except (pint.PintError, ValueError, TypeError, AttributeError, SyntaxError):
        raise _Unfit("unit", f"“{text}” is not a unit known here.") from None


def _spelling(text):
    """A unit as typed, in the spelling the registry knows. Raises ValueError."""
    plain = text.strip().rstrip(".")
    for sign, ascii_sign in (("²", "2"), ("³", "3"), ("⁻¹", "-1"), ("₂", "2"), ("μ", "µ"), ("\u2126", "Ω"),
                             ("″", '"'), ("”", '"'), ("′", "'"), ("°", ""), ("\u00a0", " ")):  # fmt: skip
        plain = plain.replace(sign, ascii_sign)
    plain = re.sub(r"^deg(?:rees?)? ?(?=[CFcf]$)", "", plain.strip())
    if plain.lower() in _WHOLE:
        return _WHOLE[plain.lower()]
    tokens = re.split(r" ?([/·*]) ?| ", plain)
    words = [("*" if token in ("·", "*", None) else token) for token in tokens]
    compound = len(words) > 1
    return "".join(word if word in "/*" else _token(word, compound) for word in words)


def _token(word, compound):
    found = _UNIT_TOKEN.match(word)
    stem, power = (word, None) if word.lower() in _TOKEN else found.groups() if found else ("", None)
    if not stem:
        raise ValueError(word)
    known = _TOKEN.get(stem.lower(), stem) if stem not in ("MW", "mW", "MPa", "mPa", "MΩ", "Mohm") else stem
    if compound and known in ("degC", "degF"):
        known = f"delta_{known}"
    return f"({known})**{power}" if power else f"({known})"


@lru_cache(maxsize=1)
def _kinds():
    return {registry().Unit(unit).dimensionality: words for unit, words in _KIND.items()}


def _kind(unit):
    return _kinds().get(unit.dimensionality, f"measured in {unit:~P}")


def _example(unit, lower, upper):
    """Something to type that would be taken: the usual example, or a bound when that one is outside."""
    low, high = (-math.inf if lower is None else lower), (math.inf if upper is None else upper)
    usual = _EXAMPLE.get(unit) or format_quantity(min(max(1.0, low), high), unit)
    for example in usual.split("|"):
        if low <= _read(example, unit) <= high:
            return example
    return format_quantity(low if math.isfinite(low) else high, unit, 6)
