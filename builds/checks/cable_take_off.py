"""What the cables of the cable book are made of: wire, terminals, housings, sleeve and heat-shrink, with spares."""

from collections import Counter

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .rule import Rule
from .take_off import item_of, short_of, spare_length, with_spares

RULE = Rule("cable take-off", _l("what the cables take"), _l("the cut lists; spares are common practice"))


def cable_items(build):
    """[Item] of everything the cables take that have a gauge and a length, and so wires to count."""
    cables = [cable for cable in build.cables if cable.wires]
    if not cables:
        return []
    terminals = sum(cable.terminals for cable in cables)
    consumables = build.of_kind("consumable")
    return [
        *_wires(build, cables),
        item_of("terminals", _("terminals"), terminals, with_spares(terminals), "", "consumable",
                [line for line in consumables if line.text("form") == "terminals"]),
        *_housings(consumables, cables),
        *_lengths(build, cables),
    ]  # fmt: skip


def _wires(build, cables):
    """Wire by gauge and colour; colours that have no line of their own share one that names no colour."""
    metres = Counter()
    for awg, colour, length in (wire for cable in cables for wire in cable.wires):
        metres[awg, colour] += length
    stock = [line for line in build.of_kind("wire") if line.text("form") == "wire"]
    items, rest = [], Counter()
    for (awg, colour), length in sorted(metres.items()):
        mine = [line for line in stock if line.number("gauge") == awg
                and (line.text("colour") or "").casefold() == colour.casefold()]  # fmt: skip
        plain = any(line.number("gauge") == awg and line.text("colour") is None for line in stock)
        if mine or not plain:
            label = _("wire, AWG %(awg)d, %(colour)s") % {"awg": awg, "colour": colour}
            items.append(_length(f"wire {awg} {colour}", label, length, mine))
        else:
            rest[awg] += length
    for awg, length in rest.items():
        mine = [line for line in stock if line.number("gauge") == awg and line.text("colour") is None]
        items.append(_length(f"wire {awg}", _("wire, AWG %(awg)d") % {"awg": awg}, length, mine))
    return items


def _length(key, label, metres, lines):
    return item_of(key, label, round(metres, 2), spare_length(metres), "m", "wire", lines)


def _housings(consumables, cables):
    """One at each end of a cable; a crimp gone wrong spoils no housing, so there are no spares."""
    wanted = Counter(end for cable in cables for end in (cable.supply_connector, cable.device_connector))
    return [
        item_of(f"housing {connector}", _("housings, %(connector)s") % {"connector": connector}, count, count, "",
                "consumable", [line for line in consumables
                               if line.text("form") == "housing" and line.text("connector") == connector])
        for connector, count in sorted(wanted.items())
    ]  # fmt: skip


def _lengths(build, cables):
    forms = (("sleeve", _("sleeve"), "sleeve_m"), ("heat-shrink", _("heat-shrink"), "shrink_m"))
    return [
        _length(form, label, sum(getattr(cable, amount) for cable in cables),
                [line for line in build.of_kind("wire") if line.text("form") == form])
        for form, label, amount in forms
    ]  # fmt: skip


def check(build):
    if not any(cable.wires for cable in build.cables):
        return []
    unknown = []
    for line in build.of_kind("wire"):
        unknown += RULE.unless_known(line, "form")
        unknown += RULE.unless_known(line, "gauge") if line.text("form") == "wire" else []
    for line in build.of_kind("consumable"):
        unknown += RULE.unless_known(line, "connector") if line.text("form") == "housing" else []
    return [*unknown, *short_of(RULE, build, cable_items(build), _("the cables"))]
