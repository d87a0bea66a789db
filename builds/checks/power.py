"""The power supply against what draws from it, in sum and by connector."""

import re
from collections import Counter

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .facts import PUMPS
from .rule import Rule

RULE = Rule(
    "power",
    _l("power supply"),
    _l("ATX 3.0 multi-rail power supply design guide, table 3-5; slot power from memory; reserve is common practice"),
)
SLOT_W = 75.0
CONNECTOR_W = {"2×3": 75.0, "2×4": 150.0, "16-pin": 600.0}
# A graphics board's short peaks over its stated load, which a supply must ride through. Common practice.
GRAPHICS_PEAK = 1.5


def connectors(text_list):
    """Connectors of a graphics board as people write them, counted by kind; unknown spellings under "?".

    “none” is a board that the slot feeds alone.

    >>> dict(connectors(["2x4", "8-pin", "1 × 16-pin", "2×3"]))
    {'2×4': 2, '16-pin': 1, '2×3': 1}
    """
    counted = Counter()
    for text in text_list:
        if text.casefold() == "none":
            continue
        bare = text.casefold().replace("×", "x").replace(" ", "")
        times = re.match(r"([1-9])x(?=\d+-?pin|2x[34])", bare)
        bare = bare[times.end() :] if times else bare
        kind = {"2x3": "2×3", "6pin": "2×3", "2x4": "2×4", "8pin": "2×4", "16pin": "16-pin", "12v-2x6": "16-pin"}
        counted[kind.get(bare.replace("-pin", "pin"), "?")] += int(times[1]) if times else 1
    return counted


def check(build):
    supplies = build.of_kind("power_supply")
    if not supplies:
        hungry = build.of_kind("processor", "graphics", "board")
        return [_no_supply(hungry)] if hungry else []
    found = _sum(build, supplies)
    for graphics in build.of_kind("graphics"):
        found += _feeds(graphics)
    return found + _places(build, supplies)


def loads(build):
    """({name of the load: W at full work}, findings for what is not known)."""
    watts, unknown = Counter(), []
    for line in build.of_kind("processor", "graphics", "board", *PUMPS):
        heat = line.number("heat")
        if heat is None:
            unknown.append(RULE.missing(line, "heat"))
        else:
            watts[line.role] += heat * line.quantity
    for line in build.of_kind("fan"):
        current = line.number("current")
        if current is None:
            unknown.append(RULE.missing(line, "current"))
        else:
            watts[line.role] += 12.0 * current * line.quantity
    return watts, unknown


def _sum(build, supplies):
    unknown = [f for supply in supplies for f in RULE.unless_known(supply, "rated_power")]
    watts, more = loads(build)
    if unknown or not watts:
        return unknown + more
    rated = sum(s.number("rated_power") * s.quantity for s in supplies)
    steady = sum(watts.values())
    graphics = sum(watts[line.role] for line in build.of_kind("graphics"))
    peak = steady + (GRAPHICS_PEAK - 1) * graphics
    words = {
        "supply": ", ".join(s.part for s in supplies), "rated": f"{rated:.0f}", "steady": f"{steady:.0f}",
        "peak": f"{peak:.0f}",
    }  # fmt: skip
    numbers = {"rated_w": rated, "steady_w": round(steady), "peak_w": round(peak)}
    if steady > rated:
        said = _("The parts draw %(steady)s W at full work; %(supply)s gives %(rated)s W.") % words
        return [*more, RULE.stop(said, _("Choose a stronger supply."), *supplies, **numbers)]
    if peak > rated:
        said = _("With the graphics board's peaks the parts draw %(peak)s W; %(supply)s gives %(rated)s W.") % words
        action = _("Choose a stronger supply, or one that states peaks of this size for ATX 3.")
        return [*more, RULE.caution(said, action, *supplies, **numbers)]
    return more


def _feeds(graphics):
    """Do slot and connectors together feed the board's own load?"""
    unknown = RULE.unless_known(graphics, "power_connectors")
    heat = graphics.number("heat")
    if unknown or heat is None:
        return unknown
    counted = connectors(graphics.many("power_connectors"))
    if counted["?"]:
        return [
            RULE.caution(
                _("%(part)s: its power connectors (%(listed)s) are not all ones this check knows.")
                % {"part": graphics.part, "listed": graphics.text("power_connectors")},
                _("Write them as 2×3, 2×4 or 16-pin."), graphics, listed=graphics.text("power_connectors"),
            )
        ]  # fmt: skip
    fed = SLOT_W + sum(CONNECTOR_W[kind] * count for kind, count in counted.items())
    if heat <= fed:
        return []
    return [
        RULE.stop(
            _("%(part)s draws %(heat)s W; slot and connectors feed %(fed)s W.")
            % {"part": graphics.part, "heat": f"{heat:.0f}", "fed": f"{fed:.0f}"},
            _("Check the load and the connectors in the catalogue: one of them is wrong."),
            graphics, heat_w=heat, fed_w=fed,
        )
    ]  # fmt: skip


def _places(build, supplies):
    """Does the supply have a place for every connector? A 2×4 plug of a supply splits to 2×3."""
    wanted = Counter()
    for graphics in build.of_kind("graphics"):
        for kind, count in connectors(graphics.many("power_connectors") or ()).items():
            wanted["pcie_16" if kind == "16-pin" else "pcie_2x4"] += int(count * graphics.quantity)
    found = []
    for board in build.of_kind("board"):
        found += RULE.unless_known(board, "power_connectors")
        wanted["eps"] += int(board.number("power_connectors") or 0)
    for fact, count in wanted.items():
        unknown = [f for s in supplies for f in RULE.unless_known(s, fact)] if count else []
        have = sum((s.number(fact) or 0) * s.quantity for s in supplies)
        found += unknown
        if not unknown and count > have:
            found.append(_too_few(fact, count, have, supplies))
    return found


def _too_few(fact, count, have, supplies):
    words = {
        "supply": supplies[0].part, "have": int(have), "count": count,
        "what": {
            "pcie_16": _("16-pin graphics connectors"), "pcie_2x4": _("2×4 graphics connectors"),
            "eps": _("processor connectors"),
        }[fact],
    }  # fmt: skip
    said = _("%(supply)s has %(have)d %(what)s; the build wants %(count)d.") % words
    numbers = {"connector": fact, "have": have, "wanted": count}
    if fact == "eps" and have:
        action = _("Many boards run with one of two; read the board's manual.")
        return RULE.caution(said, action, *supplies, **numbers)
    action = _("Choose a supply with enough; never feed a graphics board from a drive or processor connector.")
    return RULE.stop(said, action, *supplies, **numbers)


def _no_supply(lines):
    return RULE.caution(
        _("The spec has no power supply."), _("Add it, also when the client supplies it."), *lines
    )  # fmt: skip
