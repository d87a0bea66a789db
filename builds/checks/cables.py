"""Cables: the right plug at each end, wire that carries it, little voltage lost on the way, and a signed pin-out."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .facts import LineFacts
from .power import SLOT_W, connectors
from .rule import Rule
from .wire import CONNECTORS, SUPPLY_V, carries_a, drop_v

RULE = Rule(
    "cables", _l("cables"),
    _l("ASTM B258; handbook ampacity; ATX 3.0 multi-rail design guide; 2 % and 4 % of loss are common practice"),
)  # fmt: skip
CAUTION_SHARE, STOP_SHARE = 0.02, 0.04
STRAIGHT_MM = 35.0  # of cable behind a 16-pin plug before it bends, from memory
NAMES = {"2×3": "graphics 2×3", "2×4": "graphics 2×4", "16-pin": "16-pin"}


def check(build):
    return [finding for cable in build.cables for finding in _cable(build, cable)]


def _cable(build, cable):
    said = _Said(build, cable)
    if cable.supply_connector not in CONNECTORS or cable.device_connector not in CONNECTORS:
        return [said.caution(_("%(cable)s: its connectors are not known."), _("Choose both in the cable book."))]
    found = said.pin_out() + said.plugs()
    if found and any(finding.severity == "stop" for finding in found if finding.numbers and "family" in
                     dict(finding.numbers)):  # fmt: skip
        return found
    if cable.awg is None or cable.length_mm is None:
        names = [word for word, value in ((_("wire gauge"), cable.awg), (_("routed length"), cable.length_mm))
                 if value is None]  # fmt: skip
        found.append(
            said.caution(
                _("%(cable)s: not known: %(what)s. So its wires are not checked."), _("Fill it in in the cable book."),
                what=", ".join(names),
            )
        )  # fmt: skip
        return found + said.sixteen()
    return found + said.sixteen() + said.wires()


def load_w(build, cable):
    """(W that a cable carries, whether that is the device's own share and not the connector's limit)."""
    device, plug = build.line(cable.device), CONNECTORS[cable.device_connector]
    if plug.family == "processor":
        return _processor_w(build, plug)
    heat = device.number("heat") if device else None
    if device is None or heat is None or plug.limit_w is None:
        return plug.limit_w, False
    if device.kind != "graphics":
        return min(heat, plug.limit_w), True
    listed = connectors(device.many("power_connectors") or ())
    fed = sum(CONNECTORS[NAMES[kind]].limit_w * count for kind, count in listed.items() if kind in NAMES)
    if not fed:
        return plug.limit_w, False
    return min(plug.limit_w, max(0.0, heat - SLOT_W) * plug.limit_w / fed), True


def _processor_w(build, plug):
    """A processor's load spread over its cables."""
    heats = [line.number("heat") for line in build.of_kind("processor")]
    if not heats or None in heats:
        return plug.limit_w, False
    several = [one for one in build.cables if one.device_connector.startswith("processor")]
    return min(plug.limit_w, sum(heats) / max(1, len(several))), True


class _Said:
    """The findings on one cable."""

    def __init__(self, build, cable):
        self.build, self.cable = build, cable
        lines = (build.line(cable.supply), build.line(cable.device))
        self.lines = tuple(line for line in lines if line) or (LineFacts(cable.name, "cable", cable.name),)
        self.plug = CONNECTORS.get(cable.device_connector)

    def caution(self, sentence, action, **numbers):
        return self._say(RULE.caution, sentence, action, numbers)

    def stop(self, sentence, action, **numbers):
        return self._say(RULE.stop, sentence, action, numbers)

    def _say(self, say, sentence, action, numbers):
        words = {"cable": self.cable.name, **numbers}
        return say(sentence % words, action, *self.lines, cable=self.cable.name, **numbers)

    def pin_out(self):
        """The cable is stopped, not its supply: only once the supply is here can its pins be measured."""
        if self.cable.signed:
            return []
        said = _("%(cable)s: nobody has signed the pin-out of this connector of the supply.")
        action = _("Measure every pin of this very model, fill in the map and sign it; a wrong one kills hardware.")
        own = LineFacts(self.cable.name, "cable", self.cable.name)
        return [RULE.stop(said % {"cable": self.cable.name}, action, own, cable=self.cable.name)]

    def plugs(self):
        """Plugs of one family only. A drive's plug on a graphics board, or a processor's, kills or burns it."""
        ours, theirs = (CONNECTORS[key] for key in (self.cable.supply_connector, self.cable.device_connector))
        if ours.family == theirs.family or {ours.family, theirs.family} == {"graphics", "graphics 16"}:
            return []
        words = {"ours": ours.key, "theirs": theirs.key}
        if {ours.family, theirs.family} == {"processor", "graphics"}:
            action = _("Never: the two have plus and ground the other way round.")
        elif theirs.family.startswith("graphics"):
            action = _("Feed a graphics board from graphics connectors alone; drive plugs overheat.")
        else:
            action = _("Choose the supply's connector for this device.")
        said = _("%(cable)s leads from a %(ours)s to a %(theirs)s connector.")
        return [self.stop(said, action, family=ours.family, **words)]

    def sixteen(self):
        if self.cable.device_connector != "16-pin":
            return []
        return [*self._bend(), *self._sense(), *self._thin()]

    def _bend(self):
        bend = self.cable.bend_mm
        if bend is None:
            return [
                self.caution(
                    _("%(cable)s: it is not known how far behind the 16-pin plug it bends."),
                    _("Measure it; less than 35 mm loosens contacts."),
                )
            ]  # fmt: skip
        if bend >= STRAIGHT_MM:
            return []
        said = _("%(cable)s bends %(bend)s mm behind the 16-pin plug; at least 35 mm must stay straight.")
        return [self.stop(said, _("Route it another way: contacts under side load burn."), bend=f"{bend:g}")]

    def _sense(self):
        device, sense = self.build.line(self.cable.device), self.cable.sense_w
        wanted = (device.number("sense") or device.number("heat")) if device else None
        if sense is None:
            return [
                self.caution(
                    _("%(cable)s: its sense rating is not known."),
                    _("Read it on the supply's side: 150, 300, 450 or 600 W."),
                )
            ]  # fmt: skip
        if wanted is None or sense >= wanted - (SLOT_W if not device.number("sense") else 0.0):
            return []
        said = _("%(cable)s announces %(sense)s W; the board wants %(wanted)s W.")
        action = _("Use a cable and supply that announce enough, or the board holds itself back or refuses to start.")
        return [self.stop(said, action, sense=f"{sense:g}", wanted=f"{wanted:g}")]

    def _thin(self):
        awg = self.cable.awg
        if awg is None or awg <= self.plug.thickest:
            return []
        return [self.stop(_("%(cable)s is AWG %(awg)d; a 16-pin plug wants AWG 16 at least."),
                          _("Crimp it of thicker wire."), awg=awg)]  # fmt: skip

    def wires(self):
        watts, _own = load_w(self.build, self.cable)
        if not watts or not self.plug.feeding:
            return []
        ampere = watts / SUPPLY_V / self.plug.feeding
        return [*self._carried(ampere), *self._lost(ampere)]

    def _carried(self, ampere):
        most = carries_a(self.cable.awg)
        words = {"awg": self.cable.awg, "ampere": f"{ampere:.1f}", "most": f"{most or 0:g}"}
        if most is None:
            said = _("%(cable)s: AWG %(awg)d is no gauge this check knows.")
            return [self.caution(said, _("Use AWG 16, 18, 20, 22 or 24."), awg=self.cable.awg)]
        if ampere <= most and ampere <= (self.plug.pin_a or ampere):
            return []
        if ampere > (self.plug.pin_a or ampere):
            said = _("%(cable)s: %(ampere)s A a pin are more than the connector bears.")
            return [self.stop(said, _("Feed the device by more connectors."), ampere=words["ampere"])]
        said = _("%(cable)s: %(ampere)s A a wire are more than AWG %(awg)d carries in a bundle, %(most)s A.")
        return [self.stop(said, _("Crimp it of thicker wire."), **words)]

    def _lost(self, ampere):
        share = drop_v(self.cable.awg, self.cable.length_mm, ampere) / SUPPLY_V
        if share <= CAUTION_SHARE:
            return []
        said = _("%(cable)s loses %(share)s %% of 12 V at %(ampere)s A a wire, there and back at 50 °C.")
        action = _("Make it shorter or of thicker wire.")
        say = self.stop if share > STOP_SHARE else self.caution
        return [say(said, action, share=f"{100 * share:.1f}", ampere=f"{ampere:.1f}")]
