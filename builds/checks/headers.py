"""What fans and pumps draw from a header of the board or an output of a controller."""

from math import ceil

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .facts import PUMPS
from .rule import Rule

RULE = Rule("headers", _l("fan and pump headers"), _l("common practice: three quarters of a header's rating"))
SHARE = 0.75
UNKNOWN_A = 1.0
VOLT = 12.0
FED = ("fan", *PUMPS, "controller")


def ampere(line):
    """Current of one piece [A] by its label, or from a pump's power at 12 V; None when it is not known."""
    if line.kind == "fan":
        return line.number("current")
    heat = line.number("heat")
    return None if heat is None else heat / VOLT


def check(build):
    found = []
    for line in build.of_kind("fan", *PUMPS):
        found += RULE.unless_known(line, "current" if line.kind == "fan" else "heat")
        if not line.fed_from:
            found.append(_not_said(line))
    for feed in build.of_kind("board", "controller"):
        found += _feed(build, feed)
    return found


def _not_said(line):
    return RULE.note(
        _("It is not said what feeds %(part)s.") % {"part": line.part},
        _("Choose header, controller or supply at its role in the spec."), line,
    )  # fmt: skip


def _feed(build, feed):
    fed = [line for line in build.of_kind(*FED) if line.fed_from == feed.role]
    if not fed:
        return []
    fact = "header_current" if feed.kind == "board" else "output_current"
    rating, found = feed.number(fact), RULE.unless_known(feed, fact)
    for line in fed:
        found += _one(build, feed, line, rating)
    return found + _enough(feed, fed)


def _one(build, feed, line, rating):
    """The busiest header of a line's: what hangs on a splitter adds up, a hub with its own supply does not."""
    drawn = _drawn(build, line)
    if drawn is None or not drawn:
        return []
    safe = SHARE * (UNKNOWN_A if rating is None else rating)
    if round(drawn, 6) <= round(safe, 6):
        return []
    words = {"part": line.part, "drawn": f"{drawn:.2f}", "feed": feed.part, "safe": f"{safe:.2f}"}
    said = _("%(part)s draws %(drawn)s A from one output of %(feed)s; %(safe)s A are safe.") % words
    action = (
        _("Feed the pump from the supply; its signal wire alone goes to the header.")
        if line.kind in PUMPS
        else _("Spread them over more headers, or use a hub that the supply feeds.")
    )
    return [RULE.stop(said, action, line, feed, drawn_a=round(drawn, 2), safe_a=round(safe, 2))]


def _drawn(build, line):
    if line.kind == "controller":
        if line.yes("own_supply"):
            return 0.0
        hung = [one for one in build.of_kind("fan", *PUMPS) if one.fed_from == line.role]
        each = [ampere(one) for one in hung]
        return None if None in each else sum(a * one.quantity for a, one in zip(each, hung, strict=True))
    own = ampere(line)
    return None if own is None else own * ceil(line.quantity / max(1, line.outlets))


def _enough(feed, fed):
    fact = "fan_headers" if feed.kind == "board" else "outputs"
    have, wanted = feed.number(fact), sum(min(line.outlets, ceil(line.quantity)) for line in fed)
    if have is None:
        return [RULE.missing(feed, fact)]
    if wanted <= have:
        return []
    said = _("%(wanted)d outputs of %(feed)s are spoken for; it has %(have)d.") % {
        "wanted": wanted, "feed": feed.part, "have": have,
    }  # fmt: skip
    return [RULE.stop(said, _("Use splitters within the current, or a controller."), feed, *fed,
                      wanted=wanted, have=have)]  # fmt: skip
