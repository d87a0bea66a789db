"""Metal that the coolant warms, against the hand that touches it."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .metals import WETTED, metals_of
from .rule import Rule
from .sealed import warmest

RULE = Rule("touch", _l("metal that is touched"), _l("ISO 13732-1: bare metal 48 °C for 10 min, 51 °C for 1 min"))
LONG_C, MINUTE_C = 48.0, 51.0
AT_ONCE_C = 65.0  # one second on bare metal, from memory


def check(build):
    return [finding for loop in build.loops if loop.steps for finding in _loop(build, loop)]


def _loop(build, loop):
    roles = {step.role for step in loop.steps}
    lines = [line for line in build.of_kind(*WETTED, "tube") if line.role in roles or line.kind in {"fitting", "tube"}]
    metal = [line for line in lines if metals_of(line)]
    hot, reckoned = warmest(build, loop)
    if not reckoned:
        return [
            RULE.note(
                _("The warmth of “%(loop)s” is not known, so metal that is hot to the touch is not checked.")
                % {"loop": loop.name},
                _("Add the facts that heat and flow asks for."), *lines, loop=loop.name,
            )
        ]  # fmt: skip
    unknown = [f for line in lines if line.kind != "tube" for f in RULE.unless_known(line, "wetted_metals")]
    return unknown + (_hot(loop, hot, metal) if metal and hot > LONG_C else [])


def _hot(loop, hot, metal):
    words = {"loop": loop.name, "hot": f"{hot:.0f}", "parts": ", ".join(line.part for line in metal[:3])}
    numbers = {"hot_c": round(hot)}
    if hot > AT_ONCE_C:
        said = _("Metal in “%(loop)s” comes to %(hot)s °C and burns at a touch: %(parts)s.") % words
        return [
            RULE.stop(said, _("More radiator or more air; put a guard over what can be reached."), *metal, **numbers)
        ]
    if hot > MINUTE_C:
        said = _("Metal in “%(loop)s” comes to %(hot)s °C and burns within a minute: %(parts)s.") % words
    else:
        said = _("Metal in “%(loop)s” comes to %(hot)s °C; held for ten minutes it burns: %(parts)s.") % words
    return [RULE.caution(said, _("Say so on the care sheet, or run it cooler."), *metal, **numbers)]
