"""Cables of the cable book: the right plug at each end, wire that carries it, little voltage lost on the way, and a
signed pin-out."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .cable_wires import Said
from .facts import LineFacts
from .findings import STOP
from .rule import Rule
from .wire import CONNECTORS

RULE = Rule(
    "cables", _l("cables"),
    _l("ASTM B258; handbook ampacity; ATX 3.0 multi-rail design guide; 2 % and 4 % of loss are common practice"),
)  # fmt: skip


def check(build):
    return [finding for cable in build.cables for finding in _cable(build, cable)]


def _cable(build, cable):
    ends = [line for line in (build.line(cable.supply), build.line(cable.device)) if line]
    said = Said(RULE, build, cable, ends or [_own(cable)])
    if cable.supply_connector not in CONNECTORS or cable.device_connector not in CONNECTORS:
        return [said.caution(_("%(cable)s: its connectors are not known."), _("Choose both in the cable book."))]
    plugs = said.plugs()
    found = [*_pin_out(cable), *plugs]
    if any(finding.severity == STOP for finding in plugs):
        return found
    return [*found, *said.sixteen(), *(_unknown(cable, said) or said.wires())]


def _own(cable):
    return LineFacts(cable.name, "cable", cable.name)


def _pin_out(cable):
    """The cable is stopped, not its supply: only once the supply is here can its pins be measured."""
    if cable.signed:
        return []
    said = _("%(cable)s: nobody has signed the pin-out of this connector of the supply.") % {"cable": cable.name}
    action = _("Measure every pin of this very model, fill in the map and sign it; a wrong one kills hardware.")
    return [RULE.stop(said, action, _own(cable), cable=cable.name)]


def _unknown(cable, said):
    names = [word for word, value in ((_("wire gauge"), cable.awg), (_("routed length"), cable.length_mm))
             if value is None]  # fmt: skip
    if not names:
        return []
    sentence = _("%(cable)s: not known: %(what)s. So its wires are not checked.")
    return [said.caution(sentence, _("Fill it in in the cable book."), what=", ".join(names))]
