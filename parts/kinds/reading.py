"""Facts between text and value: what a person types, what is stored, what is shown. One place for all of it."""

import difflib
import re

from django.utils.translation import gettext as _

from thermal.units import QuantityError, convert, format_quantity, numeral, read_quantity, symbol

from .curve import CurveError, read_curve, write_curve
from .shared import ALIASES

TEXT_LENGTH = 200  # what one stored fact holds
_YES = {"yes", "y", "true", "1", "x", "✓", "ja", "j", "oui", "si", "sí", "sì"}
_NO = {"no", "n", "false", "0", "-", "–", "nein", "nee", "non", "nej", "nei"}


class FactError(ValueError):
    """A typed fact cannot be used; `str()` names the field, what was typed, the bound, and what to type."""


def read_fact(spec, text):
    """One fact as typed → its value: a float in spec.unit (1.0 and 0.0 for yes and no), or a text.

    Raises FactError. What this gives, `write_fact` writes so that it reads back the same.
    """
    text = " ".join((re.sub(r"[\r\n]+", "; ", str(text).strip()) if spec.points else str(text)).split())
    if not text:
        raise FactError(_("%(field)s: nothing was typed.") % {"field": spec.label})
    if spec.unit == "yes":
        return _yes_or_no(spec, text)
    if spec.unit == "count":
        return _whole(spec, text)
    if spec.is_text:
        return _text(spec, text)
    try:
        value = read_quantity(text, spec.unit, lower=spec.lower, upper=spec.upper, name=str(spec.label))
    except QuantityError as error:
        raise FactError(str(error)) from None
    return float(f"{value:.12g}")


def write_fact(spec, value):
    """A stored value as text that `read_fact` turns into the same value."""
    if spec.is_text:
        return value
    if spec.unit == "yes":
        return _("yes") if value else _("no")
    if spec.shown_in:
        value = convert(value, spec.unit, spec.shown_in)
    return f"{value:.12g} {'' if spec.unit == 'count' else symbol(spec.shown_in or spec.unit)}".strip()


def show_fact(spec, value):
    """A stored value for the eye: four figures and the unit."""
    if spec.is_text or spec.unit == "yes":
        return write_fact(spec, value)
    if spec.unit == "count":
        return f"{value:g}"
    unit = spec.shown_in or spec.unit
    return format_quantity(convert(value, spec.unit, unit), unit, 4)


def brief_fact(spec, value):
    """A stored value for a line without room for its name: a bare count says what it counts."""
    return f"{value:g} {spec.label}" if spec.unit == "count" else show_fact(spec, value)


def brief_of(kind, values):
    """[text] of the facts that tell parts of a kind apart, a size as the trade says it. values: {name: value}."""
    names = [name for name in kind.brief if name in values]
    pair = kind.sized[:2]
    if len(pair) < 2 or not set(pair) <= set(names) or any(kind.fact(name).is_text for name in pair):
        return [brief_fact(kind.fact(name), values[name]) for name in names]
    size = f"{values[pair[0]]:g} × {show_fact(kind.fact(pair[1]), values[pair[1]])}"
    return [size, *(brief_fact(kind.fact(name), values[name]) for name in names if name not in pair)]


def check_value(spec, value):
    """A value that did not come through `read_fact` (a file, a program), checked as if typed. Raises FactError."""
    if isinstance(value, bool):
        value = _("yes") if value else _("no")
    return read_fact(spec, value if isinstance(value, str) else write_fact(spec, value))


def _yes_or_no(spec, text):
    word = text.casefold()
    if word in _YES | {_("yes")}:
        return 1.0
    if word in _NO | {_("no")}:
        return 0.0
    raise FactError(_("%(field)s: “%(typed)s” is neither yes nor no.") % {"field": spec.label, "typed": text[:60]})


def _whole(spec, text):
    names = {"field": spec.label, "typed": text[:60], "lower": f"{spec.lower:g}", "upper": f"{spec.upper:g}"}
    try:
        value = float(numeral(text))
    except ValueError:
        value = None
    if value is None or not value.is_integer():
        raise FactError(
            _("%(field)s: “%(typed)s” is not a whole number. Type one from %(lower)s to %(upper)s.") % names
        )
    if not spec.lower <= value <= spec.upper:
        raise FactError(_("%(field)s: “%(typed)s” is not between %(lower)s and %(upper)s.") % names)
    return value


def _text(spec, text):
    if spec.points:
        return _curve(spec, text)
    words = _split(spec, text) if spec.many else [text]
    said = [_one_text(spec, word) for word in words]
    value = ", ".join(said if spec.repeats else dict.fromkeys(said))
    if not value:
        raise FactError(_("%(field)s: nothing was typed.") % {"field": spec.label})
    if len(value) > TEXT_LENGTH:
        raise FactError(
            _("%(field)s: %(length)d characters are too many; at most %(most)d.")
            % {"field": spec.label, "length": len(value), "most": TEXT_LENGTH}
        )
    return value


def _curve(spec, text):
    try:
        value = write_curve(read_curve(text, *spec.points))
    except CurveError as error:
        told = {"field": spec.label, "what": error, "example": spec.example}
        raise FactError(_("%(field)s: %(what)s Type for example %(example)s.") % told) from None
    if len(value) > TEXT_LENGTH:
        raise FactError(_("%(field)s: these are too many points; a dozen are enough.") % {"field": spec.label})
    return value


def _split(spec, text):
    marks = r"[,;+/&]|\band\b" if spec.choices else r"[,;]"
    return [word.strip() for word in re.split(marks, text) if word.strip()]


def _bare(text):
    return "".join(c for c in text.casefold().replace("¼", "1/4").replace("½", "1/2") if c.isalnum())


def _one_text(spec, word):
    if spec.choices:
        return _choice(spec, word)
    if spec.pattern:
        tidy = re.sub(r"\s*[x×*]\s*", "×", word, flags=re.IGNORECASE).removesuffix("mm").strip()
        if not re.fullmatch(spec.pattern, tidy):
            raise FactError(
                _("%(field)s: “%(typed)s” cannot be read. Type for example %(example)s.")
                % {"field": spec.label, "typed": word[:60], "example": spec.example}
            )
        return tidy
    return word


def _choice(spec, word):
    known = {_bare(choice): choice for choice in spec.choices}
    bare = _bare(word)
    alias = ALIASES.get(bare)
    if bare in known or alias in spec.choices:
        return known.get(bare) or alias
    near = difflib.get_close_matches(bare, known, n=1, cutoff=0.6)
    names = {"field": spec.label, "typed": word[:60], "choices": ", ".join(spec.choices)}
    if near:
        return_to = known[near[0]]
        raise FactError(
            _("%(field)s: “%(typed)s” is not known; did you mean %(near)s? Choose from: %(choices)s.")
            % {**names, "near": return_to}
        )
    raise FactError(_("%(field)s: “%(typed)s” is not known. Choose from: %(choices)s.") % names)
