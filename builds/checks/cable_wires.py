"""What holds of every cable, made or bought: its plugs, the rules of a 16-pin plug, current and loss in its wires."""

from django.utils.translation import gettext as _

from .power import SLOT_W, connectors
from .wire import CONNECTORS, SUPPLY_V, carries_a, drop_v

CAUTION_SHARE, STOP_SHARE = 0.02, 0.04
STRAIGHT_MM = 35.0  # of cable behind a 16-pin plug before it bends, from memory
# Which plugs a device has a socket for; a board's own slots may be fed by others, so there it is for a look.
TAKES = {
    "board": {"board", "processor"}, "processor": {"processor"}, "graphics": {"graphics", "graphics 16"},
    "drive": {"drive"}, "pump": {"drive"}, "pump_reservoir": {"drive"}, "controller": {"drive"},
}  # fmt: skip
NAMES = {"2×3": "graphics 2×3", "2×4": "graphics 2×4", "16-pin": "16-pin"}


def load_w(build, cable, cables=None):
    """(W that a cable carries, whether that is the device's own share and not the connector's limit).

    cables: all that feed the build, where others than those of its cable book do.
    """
    device, plug = build.line(cable.device), CONNECTORS[cable.device_connector]
    if plug.family == "processor":
        return _processor_w(build, plug, build.cables if cables is None else cables)
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


def _processor_w(build, plug, cables):
    """A processor's load spread over its cables."""
    heats = [line.number("heat") for line in build.of_kind("processor")]
    if not heats or None in heats:
        return plug.limit_w, False
    several = [one for one in cables if one.device_connector.startswith("processor")]
    return min(plug.limit_w, sum(heats) / max(1, len(several))), True


class Said:
    """The findings of a rule on one cable, on the lines given. cables: all that feed the build."""

    def __init__(self, rule, build, cable, lines, cables=None, **numbers):
        self.rule, self.build, self.cable, self.lines, self.cables = rule, build, cable, lines, cables
        self.plug = CONNECTORS.get(cable.device_connector)
        self.numbers = {"cable": cable.name, **numbers}

    def note(self, sentence, action, **numbers):
        return self._say(self.rule.note, sentence, action, numbers)

    def caution(self, sentence, action, **numbers):
        return self._say(self.rule.caution, sentence, action, numbers)

    def stop(self, sentence, action, **numbers):
        return self._say(self.rule.stop, sentence, action, numbers)

    def _say(self, say, sentence, action, numbers):
        return say(sentence % {"cable": self.cable.name, **numbers}, action, *self.lines, **{**self.numbers, **numbers})

    def plugs(self):
        """Plugs of one family only. A drive's plug on a graphics board, or a processor's, kills or burns it."""
        ours, theirs = (CONNECTORS[key] for key in (self.cable.supply_connector, self.cable.device_connector))
        if ours.family == theirs.family or {ours.family, theirs.family} == {"graphics", "graphics 16"}:
            return self._socket()
        words = {"ours": ours.key, "theirs": theirs.key}
        if {ours.family, theirs.family} == {"processor", "graphics"}:
            action = _("Never: the two have plus and ground the other way round.")
        elif theirs.family.startswith("graphics"):
            action = _("Feed a graphics board from graphics connectors alone; drive plugs overheat.")
        else:
            action = _("Choose the supply's connector for this device.")
        said = _("%(cable)s leads from a %(ours)s to a %(theirs)s connector.")
        return [self.stop(said, action, family=ours.family, **words)]

    def _socket(self):
        """Has the device a socket for this plug? A graphics board says which it has."""
        device = self.build.line(self.cable.device)
        if device is None or device.kind not in TAKES:
            return []
        words = {"plug": self.plug.key, "device": device.part}
        listed = connectors(device.many("power_connectors") or ()) if device.kind == "graphics" else {}
        if self.plug.family not in TAKES[device.kind]:
            said = _("%(cable)s ends in a %(plug)s plug, which does not belong on %(device)s.")
            say = self.caution if device.kind == "board" else self.stop
        elif listed and "?" not in listed and self.plug.key not in {NAMES[kind] for kind in listed}:
            said, say = _("%(cable)s ends in a %(plug)s plug; %(device)s has no such socket."), self.stop
        else:
            return []
        return [say(said, _("Choose a cable that ends in the device's own connector."), **words)]

    def sixteen(self):
        """A 16-pin plug: thick wire, enough announced, no bend close behind it."""
        if self.cable.device_connector != "16-pin":
            return []
        return [*self._bend(), *self._sense(), *self._thin()]

    def rated(self):
        """Of a bought cable's 16-pin plug what can be told before it is routed; the bend is for the bench."""
        if self.cable.device_connector != "16-pin":
            return []
        bench = self.note(_("%(cable)s must stay straight for at least 35 mm behind its 16-pin plug."),
                          _("Measure it on the bench: contacts under side load burn."))  # fmt: skip
        sense = self._sense() if self.cable.sense_w is not None else [self.rule.missing(self.lines[0], "sense")]
        return [bench, *sense, *self._thin()]

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
                          _("Take thicker wire."), awg=awg)]  # fmt: skip

    def wires(self):
        """Current and loss in each wire, once gauge and length are known."""
        watts, _own = load_w(self.build, self.cable, self.cables)
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
        return [self.stop(said, _("Take thicker wire."), **words)]

    def _lost(self, ampere):
        if carries_a(self.cable.awg) is None:
            return []
        share = drop_v(self.cable.awg, self.cable.length_mm, ampere) / SUPPLY_V
        if share <= CAUTION_SHARE:
            return []
        said = _("%(cable)s loses %(share)s %% of 12 V at %(ampere)s A a wire, there and back at 50 °C.")
        action = _("Make it shorter or of thicker wire.")
        say = self.stop if share > STOP_SHARE else self.caution
        return [say(said, action, share=f"{100 * share:.1f}", ampere=f"{ampere:.1f}")]
