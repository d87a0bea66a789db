"""Cables that are bought: made for this supply, the right plug at each end, wire that carries the load."""

from dataclasses import replace

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .cable_wires import Said, load_w
from .facts import CableFacts
from .findings import STOP
from .rule import Rule
from .wire import CONNECTORS, EITHER, SIGNAL, SUPPLY_V, connector_named

RULE = Rule(
    "bought cables", _l("bought cables"),
    _l("pin-outs differ between supplies: common practice; ASTM B258; ATX 3.0 multi-rail design guide"),
)  # fmt: skip
EXTENSION = "extension"


def check(build):
    every = [*build.cables, *(cable for line in build.of_kind("cable") for cable in plugs_of(line))]
    return [finding for line in build.of_kind("cable") for finding in _line(build, line, every)]


def ends_of(line):
    """The connectors at a cable's ends, the supply's first; "" where one is not known or could be two things."""
    return [connector_named(text) for text in line.many("connectors") or ()]


def plugs_of(line):
    """A CableFacts for each plug at a device of a bought cable, and for each piece of it."""
    ends = ends_of(line)
    if len(ends) < 2 or not set(ends) <= set(CONNECTORS):
        return []
    gauge, sense = line.number("gauge"), line.number("sense")
    one = CableFacts(line.role, line.fed_from, ends[0], line.feeds, "", awg=None if gauge is None else int(gauge),
                     length_mm=line.number("length"), sense_w=sense, signed=True)  # fmt: skip
    return [replace(one, device_connector=end) for end in ends[1:] for _piece in range(max(1, round(line.quantity)))]


def _line(build, line, every):
    ends = ends_of(line)
    if ends and set(ends) == {SIGNAL}:
        return []  # it carries a signal or a fan's current; the headers' check looks at that
    unknown = RULE.unless_known(line, "connectors", "gauge", "length")
    if not line.fed_from or not line.feeds:
        unknown.append(_not_said(line))
    if not ends:
        return unknown
    if len(ends) < 2 or not set(ends) <= set(CONNECTORS):
        return [*unknown, _unclear(line, ends)]
    return [*unknown, *_set(build, line), *_plugs(build, line, every)]


def _not_said(line):
    return RULE.note(
        _("It is not said which supply feeds %(cable)s and what it leads to.") % {"cable": line.part},
        _("Choose both at its role in the spec."), line,
    )  # fmt: skip


def _unclear(line, ends):
    words = {"cable": line.part, "listed": line.text("connectors")}
    if EITHER in ends:
        said = _("%(cable)s: “%(listed)s” may be a processor's or a graphics board's plug, which differ in polarity.")
        action = _("Write processor 2×4 or graphics 2×4 at the part in the catalogue.")
    else:
        said = _("%(cable)s: its connectors (%(listed)s) are not all ones this check knows.")
        action = _("Write the supply's end first, then each end at a device, as in 16-pin, 16-pin or graphics 2×4.")
    return RULE.caution(said % words, action, line, listed=words["listed"])


def _set(build, line):
    """A cable belongs to the cable set of its supply; one that only lengthens the supply's own fits any."""
    supply = build.line(line.fed_from)
    if supply is None or supply.kind != "power_supply":
        return []
    unknown, sets = RULE.unless_known(line, "cable_sets"), line.many("cable_sets") or ()
    if EXTENSION in {one.casefold() for one in sets}:
        return []
    unknown += RULE.unless_known(supply, "cable_set")
    mine = supply.text("cable_set")
    if unknown or mine.casefold() in {one.casefold() for one in sets}:
        return unknown
    said = _("%(cable)s belongs to cable set %(sets)s; %(supply)s has set %(mine)s.") % {
        "cable": line.part, "sets": ", ".join(sets), "supply": supply.part, "mine": mine,
    }  # fmt: skip
    action = _("Never plug it in: pin-outs differ, and a wrong one kills hardware. Take the supply's own cables.")
    return [RULE.stop(said, action, line, supply=supply.part, sets=", ".join(sets), mine=mine)]


def _plugs(build, line, every):
    cables = list(dict.fromkeys(plugs_of(line)))
    found = []
    for cable in cables:
        device = build.line(cable.device)
        told = Said(RULE, build, replace(cable, name=line.part), [line], every, device=device.part if device else "")
        wrong = told.plugs()
        found += wrong
        if any(finding.severity == STOP for finding in wrong):
            continue
        found += told.rated()
        if device and None not in (cable.awg, cable.length_mm):
            found += told.wires()
    return [*dict.fromkeys(found), *_shared(build, line, every)]


def _shared(build, line, every):
    """Several plugs at devices on one of the supply: its pins carry them all."""
    ends = ends_of(line)
    ours, load = CONNECTORS[ends[0]], 0.0
    if len(ends) < 3 or build.line(line.feeds) is None or not ours.feeding:
        return []
    for cable in plugs_of(replace(line, quantity=1.0)):
        load += load_w(build, cable, every)[0] or 0.0
    ampere = load / SUPPLY_V / ours.feeding
    if ours.pin_a is None or ampere <= ours.pin_a:
        return []
    said = _("%(cable)s draws %(ampere)s A a pin from one connector of the supply; %(most)s A are allowed.") % {
        "cable": line.part, "ampere": f"{ampere:.1f}", "most": f"{ours.pin_a:g}",
    }  # fmt: skip
    action = _("Run a cable of its own to each plug of the device.")
    return [RULE.stop(said, action, line, ampere=round(ampere, 1), most=ours.pin_a)]
