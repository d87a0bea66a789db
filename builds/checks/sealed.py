"""A closed loop that warms up: the air it needs, and the pressure that comes of it."""

from math import exp

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .facts import BLOCKS, PUMPS
from .heat import operating
from .rule import Rule
from .take_off import volume_of

RULE = Rule(
    "sealed loop", _l("pressure of the closed loop"),
    _l("ideal gas, water vapour after Magnus (WMO-No. 8), coolant density; 15 % of air is common practice"),
)  # fmt: skip
AIR_SHARE = 0.15
OUTSIDE_PA = 101325.0
FILLED_AT_C = 20.0
ASSUMED_HOT_C = 60.0
BEARS = (*BLOCKS, *PUMPS, "reservoir", "radiator", "fitting")
MOLAR = {"ethylene glycol": 62.07, "propylene glycol": 76.09}


def vapour_pressure(celsius, fluid="water", mass_fraction=0.0):
    """Water vapour over a coolant [Pa]: 611.2 exp(17.62 t / (243.12 + t)), lowered by the water's mole share.

    >>> round(vapour_pressure(20.0)), round(vapour_pressure(60.0), -2)
    (2333, 20000.0)
    """
    water = (1 - mass_fraction) / 18.015
    glycol = mass_fraction / MOLAR[fluid] if fluid in MOLAR else 0.0
    return water / (water + glycol) * 611.2 * exp(17.62 * celsius / (243.12 + celsius))


def hot_pressure(coolant_ml, air_ml, hot_c, fluid="water", mass_fraction=0.0, cold_c=FILLED_AT_C):
    """Pressure over the air outside [bar] of a loop closed at cold_c, or None when the coolant fills all the air.

    Valid from 5 to 90 °C. The coolant swells into the air, which also warms; the parts are taken as stiff.
    >>> round(hot_pressure(800, 50, 60, "propylene glycol", 0.3), 2)
    0.93
    """
    from thermal.coolant import Coolant

    coolant = Coolant(fluid, mass_fraction)
    density = [float(coolant.properties(celsius).density) for celsius in (cold_c, hot_c)]
    left = air_ml - coolant_ml * (density[0] / density[1] - 1)
    if left <= 0:
        return None
    cold, hot = (vapour_pressure(celsius, fluid, mass_fraction) for celsius in (cold_c, hot_c))
    dry = (OUTSIDE_PA - cold) * air_ml / left * (hot_c + 273.15) / (cold_c + 273.15)
    return (dry + hot - OUTSIDE_PA) / 1e5


def check(build):
    return [finding for loop in build.loops if loop.steps for finding in _loop(build, loop)]


def _loop(build, loop):
    if loop.breather:
        return []
    lines = [line for step in loop.steps if (line := build.line(step.role))]
    inside, unknown = volume_of(build, loop, RULE)
    if loop.air_ml is None:
        return [_not_said(loop, lines)]
    if unknown:
        return unknown
    return [*_air(loop, inside, lines), *_pressure(build, loop, inside)]


def _not_said(loop, lines):
    return RULE.note(
        _("It is not said how much air stays in “%(loop)s”, nor that it breathes.") % {"loop": loop.name},
        _("Note it at the loop's tube and case air: leave at least 15 %% of the coolant's volume, or fit a breather.")
        % {}, *lines, loop=loop.name,
    )  # fmt: skip


def _air(loop, inside, lines):
    if loop.air_ml >= AIR_SHARE * inside:
        return []
    said = _("%(air)s mL of air above %(inside)s mL of coolant in “%(loop)s”: less than %(share)d %%.") % {
        "air": f"{loop.air_ml:.0f}", "inside": f"{inside:.0f}", "loop": loop.name, "share": round(100 * AIR_SHARE),
    }  # fmt: skip
    action = _("Leave more air in the reservoir, or fit a breather.")
    return [RULE.caution(said, action, *lines, air_ml=loop.air_ml, inside_ml=round(inside))]


def warmest(build, loop):
    """(°C, whether it is reckoned) of a loop's coolant: 60 °C is taken where nothing can be reckoned."""
    result = operating(build, loop).result
    return (ASSUMED_HOT_C, False) if result is None else (float(result.warmest), True)


def _pressure(build, loop, inside):
    coolants = build.of_kind("coolant")
    fluid, share = (coolants[0].text("fluid"), coolants[0].number("mass_fraction")) if coolants else ("water", 0.0)
    unknown = [f for line in coolants[:1] for f in RULE.unless_known(line, "fluid")]
    if fluid in MOLAR and share is None:
        unknown.append(RULE.missing(coolants[0], "mass_fraction"))
    roles = {step.role for step in loop.steps}
    lines = [line for line in build.of_kind(*BEARS) if line.role in roles or line.kind == "fitting"]
    unknown += [f for line in lines for f in RULE.unless_known(line, "max_pressure")]
    if fluid is None or (fluid in MOLAR and share is None):
        return unknown
    hot, _reckoned = warmest(build, loop)
    return [*unknown, *_against(loop, hot_pressure(inside, loop.air_ml, hot, fluid, share or 0.0), hot, lines)]


def _against(loop, pressure, hot, lines):
    known = [(line.number("max_pressure"), line) for line in lines if line.number("max_pressure") is not None]
    limit, weakest = min(known, key=lambda pair: pair[0], default=(None, None))
    action = _("Leave more air in the loop, or fit a breather. It is no pressure vessel.")
    words = {"loop": loop.name, "hot": f"{hot:.0f}", "air": f"{loop.air_ml:g}"}
    if pressure is None:
        said = _("At %(hot)s °C the coolant fills all %(air)s mL of air in “%(loop)s”: something bursts.") % words
        return [RULE.stop(said, action, *lines, hot_c=round(hot), air_ml=loop.air_ml)]
    if limit is None or pressure <= limit:
        return []
    said = _("“%(loop)s” closed at 20 °C comes to %(bar)s bar at %(hot)s °C; %(part)s bears %(limit)s bar.") % {
        **words, "bar": f"{pressure:.2f}", "part": weakest.part, "limit": f"{limit:g}",
    }  # fmt: skip
    return [RULE.stop(said, action, weakest, bar=round(pressure, 2), limit_bar=limit)]
