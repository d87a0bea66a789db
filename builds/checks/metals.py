"""Wetted metals in one loop, pair by pair."""

from itertools import combinations

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .facts import BLOCKS, PUMPS
from .rule import Rule

RULE = Rule(
    "metals",
    _l("metals in the coolant"),
    _l("anodic index of MIL-DTL-14072; that an immersed couple passes up to 0.15 V is engineering practice"),
)
# Anodic index in whole 0.01 V, so that 0.50 − 0.35 is 0.15 exactly. Stainless as 18 % chromium, aluminium as
# wrought alloy (anodising wears and is scratched), solder as tin-lead.
INDEX = {
    "silver": 15, "nickel": 30, "titanium": 30, "copper": 35, "brass": 40, "bronze": 40, "stainless": 50,
    "chromium plate": 60, "tin solder": 65, "steel": 85, "aluminium": 90, "anodised aluminium": 90, "zinc": 125,
    "magnesium": 175,
}  # fmt: skip
HARSH = 15
ACTIVE = {"aluminium", "anodised aluminium", "zinc", "magnesium", "steel"}
NOBLE = {"copper", "brass", "bronze", "nickel", "silver", "stainless", "titanium"}
# Nearly every pump has a stainless shaft or cup; passive, beside copper or nickel, it does well. Common practice.
USUAL = ({"copper", "stainless"}, {"nickel", "stainless"})
LARGE, SMALL = {"radiator", "tube", "reservoir"}, {"fitting"}
WETTED = (*BLOCKS, *PUMPS, "radiator", "reservoir", "fitting")
METAL_TUBES = {"copper", "brass", "stainless"}


def check(build):
    found = [f for line in build.of_kind(*WETTED) for f in RULE.unless_known(line, "wetted_metals")]
    for lines in circuits(build):
        found += _circuit(build, lines)
    return list(dict.fromkeys(found))


def circuits(build):
    """The wetted lines of each loop; those in no loop (fittings, tube) count to every one."""
    wetted = build.of_kind(*WETTED, "tube")
    in_loops = [{step.role for step in loop.steps} for loop in build.loops]
    placed = set().union(*in_loops)
    return [[line for line in wetted if line.role in roles or line.role not in placed] for roles in in_loops or [set()]]


def metals_of(line):
    """The metals the coolant touches in a line's part."""
    if line.kind == "tube":
        return {line.text("material")} & METAL_TUBES
    return {metal.casefold() for metal in line.many("wetted_metals") or ()} & set(INDEX)


def couple(one, other):
    """(difference of the anodic indices in 0.01 V, the anode) of two metals; the anode is what is eaten.

    >>> couple("copper", "aluminium"), couple("copper", "stainless")
    ((55, 'aluminium'), (15, 'stainless'))
    """
    return abs(INDEX[one] - INDEX[other]), max(one, other, key=lambda metal: (INDEX[metal], metal))


def severity(one, other):
    """ "stop", "caution", "note" or "" for two metals in one coolant."""
    pair = {one, other}
    if pair & ACTIVE and pair & NOBLE:
        return "stop"
    if pair in USUAL:
        return "note"
    return "caution" if couple(one, other)[0] > HARSH or pair == {"nickel", "silver"} else ""


def _circuit(build, lines):
    holders = {}
    for line in lines:
        for metal in metals_of(line):
            holders.setdefault(metal, []).append(line)
    usual = _eats_solder(holders)
    found = [_solder(holders, usual)] if usual else []
    for one, other in combinations(sorted(holders), 2):
        if not ("tin solder" in (one, other) and {one, other} & usual):
            found += _pair(one, other, holders)
    found += _biocide(build, holders)
    return found + (_inhibitor(build, holders, lines) if len(holders) > 1 else [])


def _eats_solder(holders):
    """Metals beside which solder is eaten, where all the solder is inside radiators, as is usual."""
    solder = holders.get("tin solder", ())
    if not all(line.kind == "radiator" for line in solder):
        return set()
    others = set(holders) - {"tin solder"} if solder else set()
    return {
        metal for metal in others if couple("tin solder", metal)[1] == "tin solder" and severity("tin solder", metal)
    }


def _solder(holders, others):
    """One note for all the solder inside radiators, however many metals it meets."""
    most = max(couple("tin solder", metal)[0] for metal in others)
    return RULE.note(
        _("Tin solder inside %(radiators)s meets %(metals)s, up to %(volts)s V apart.")
        % {
            "radiators": _names(holders["tin solder"]), "metals": ", ".join(sorted(others)),
            "volts": f"{most / 100:.2f}",
        },
        _("That is usual in radiators; a coolant with inhibitor keeps it whole."),
        *holders["tin solder"], metals=", ".join(sorted(others)), volts=most / 100,
    )  # fmt: skip


def _pair(one, other, holders):
    weight = severity(one, other)
    if not weight:
        return []
    apart, anode = couple(one, other)
    cathode = other if anode == one else one
    said = {
        "anode": anode.capitalize(), "in": _names(holders[anode]), "volts": f"{apart / 100:.2f}",
        "cathode": cathode, "beside": _names(holders[cathode]),
    }  # fmt: skip
    lines = dict.fromkeys([*holders[anode], *holders[cathode]])
    sentence = _("%(anode)s (%(in)s) beside %(cathode)s (%(beside)s): %(volts)s V apart, and the former is eaten.")
    if weight == "note":
        sentence = _("%(anode)s (%(in)s) beside %(cathode)s (%(beside)s): %(volts)s V apart.")
    else:
        sentence += _areas(holders[anode], holders[cathode])
    numbers = {"anode": anode, "cathode": cathode, "volts": apart / 100}
    return [getattr(RULE, weight)(sentence % said, _what_to_do(weight, anode, {one, other}), *lines, **numbers)]


def _what_to_do(weight, anode, pair):
    if weight == "stop":
        return _("Never mix these in one loop; choose parts without %(metal)s.") % {"metal": anode}
    if weight == "note":
        return _("Passive stainless beside copper or nickel does well in a coolant with inhibitor.")
    if pair == {"nickel", "silver"}:
        return _("Use no silver biocide with nickel plate: where the plate is thin, it lifts.")
    return _("Change one of the parts, or use a coolant with inhibitor and look at the metal yearly.")


def _areas(anodes, cathodes):
    """What the two areas do to it: the same current eats a small anode faster. Common practice."""
    eaten, beside = {line.kind for line in anodes}, {line.kind for line in cathodes}
    if eaten <= SMALL and not beside <= SMALL:
        return " " + _("A small anode beside a large cathode goes fastest.")
    if beside <= SMALL and eaten & LARGE:
        return " " + _("A large anode beside a small cathode goes slowly, yet it goes.")
    return ""


def _biocide(build, holders):
    """Silver in the coolant lifts nickel plate, though no part is made of silver."""
    found = []
    for coolant in build.of_kind("coolant") if "nickel" in holders else ():
        found += RULE.unless_known(coolant, "biocide")
        if coolant.text("biocide") == "silver":
            found.append(
                RULE.caution(
                    _("%(coolant)s holds silver as a biocide, and %(parts)s is nickel plated.")
                    % {"coolant": coolant.part, "parts": _names(holders["nickel"])},
                    _what_to_do("caution", "nickel", {"nickel", "silver"}), coolant, *holders["nickel"],
                )
            )  # fmt: skip
    return found


def _names(lines):
    """At most two of the parts by name; the finding lists them all."""
    names = list(dict.fromkeys(line.part for line in lines))
    return ", ".join(names[:2]) + (_(" and %(n)d more") % {"n": len(names) - 2} if len(names) > 2 else "")


def _inhibitor(build, holders, lines):
    coolants = build.of_kind("coolant")
    if not coolants:
        return [
            RULE.caution(
                _("The loop has %(metals)s, but the spec names no coolant.") % {"metals": ", ".join(sorted(holders))},
                _("Add the coolant; it must hold a corrosion inhibitor."), metals=", ".join(sorted(holders)),
            )
        ]  # fmt: skip
    found = []
    for coolant in coolants:
        found += RULE.unless_known(coolant, "inhibited")
        if coolant.yes("inhibited") is False:
            found.append(
                RULE.caution(
                    _("%(coolant)s holds no corrosion inhibitor, and the loop has %(metals)s.")
                    % {"coolant": coolant.part, "metals": ", ".join(sorted(holders))},
                    _("Choose a coolant with inhibitor for metals this mixed."),
                    coolant, metals=", ".join(sorted(holders)),
                )
            )  # fmt: skip
    return found
