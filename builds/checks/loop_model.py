"""A build's loop as the document that the thermal model reads, with what it rests on and what it lacks."""

from dataclasses import dataclass, replace

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from parts.kinds.curve import CurveError, read_curve

from .facts import BLOCKS, PUMPS, BuildFacts, Known, LineFacts
from .rule import Rule, fact_label

RULE = Rule("heat and flow", _l("heat and flow"), _l("the loop's operating point; limits are common practice"))

# Fact of the part → (key in the document, unit). The names differ where the catalogue speaks of pressures twice.
_FLOW = {"reference_flow": ("reference_flow", "L/min"), "reference_drop": ("reference_drop", "kPa")}
_PUMP = {
    "max_flow": ("max_flow", "L/min"), "max_pressure_head": ("max_pressure", "kPa"), "heat": ("heat", "W"),
    "sound_level": ("sound_level", "dB"), "max_coolant": ("limit", "degC"),
}  # fmt: skip
_BLOCK = {"resistance": ("resistance", "K/W"), "resistance_exponent": ("resistance_exponent", "1"), **_FLOW}
_COOLED = {"heat": ("heat", "W"), "limit": ("limit", "degC")}
_RADIATOR = {
    "sections": ("sections", "1"), "section_size": ("section_size", "mm"), "thickness": ("thickness", "mm"),
    "core_depth": ("core_depth", "mm"), "fins_per_inch": ("fins_per_inch", "1/in"), **_FLOW,
}  # fmt: skip
_FANS = {
    "free_flow": ("free_flow", "m3/h"), "max_pressure": ("max_pressure", "Pa"), "rated_speed": ("rated_speed", "rpm"),
    "start_speed": ("start_speed", "1"), "sound_level": ("sound_level", "dB"),
}  # fmt: skip
# Facts without which nothing can be reckoned; the others have a default, which is shown as an assumption.
_NEEDED = {
    "pump": ("max_flow", "max_pressure_head"), "cooled": ("heat",), "radiator": ("sections", "fins_per_inch"),
    "fans": ("free_flow", "max_pressure"),
}  # fmt: skip
_WANTED = {
    "pump": ("heat", "max_coolant"), "block": ("resistance", "reference_flow", "reference_drop"),
    "cooled": ("limit",), "radiator": ("section_size", "core_depth", "reference_flow", "reference_drop"),
    **dict.fromkeys(("fans", "measured fans"), ("rated_speed", "sound_level")),
}  # fmt: skip


USUAL_CASE_HEAT_W = 60.0  # as a new loop has it


@dataclass(frozen=True)
class Basis:
    """A value that the answer rests on. origin: measured, declared, typical or assumed. check: how to measure it."""

    role: str
    what: str
    value: str
    origin: str
    check: str = ""


@dataclass(frozen=True)
class LoopModel:
    """document: for `thermal.document.read_loop`, or None when `lacking` stops it. wanting: facts with defaults."""

    document: dict | None
    basis: tuple[Basis, ...] = ()
    lacking: tuple = ()
    wanting: tuple = ()


def model_of(build: BuildFacts, loop):
    """The LoopModel of one of a build's loops."""
    draft = _Draft(build)
    components = [draft.component(step, line) for step in loop.steps if (line := build.line(step.role))]
    document = {
        "room_temperature": f"{build.room_c!r} degC",
        "coolant": draft.coolant(),
        "tubing": draft.tubing(loop),
        "case_heat": f"{case_heat_w(build, loop)!r} W",
        "case_air_flow": f"{float(loop.case_air_flow_m3h)!r} m3/h",
        "altitude": f"{float(loop.altitude_m)!r} m",
        "components": components,
    }
    draft.room(build)
    # The same fan or graphics board may stand at several steps: say what is not known of it once.
    lacking, wanting = (tuple(dict.fromkeys(findings)) for findings in (draft.lacking, draft.wanting))
    return LoopModel(None if lacking else document, tuple(draft.basis), lacking, wanting)


def case_heat_w(build, loop):
    """W that a loop's case air takes up besides: as it is set, else the usual less what blocks take off it.

    The usual 60 W stand for board, memory, regulators and drives; what a block cools goes into the coolant instead.
    """
    if loop.case_heat_w != USUAL_CASE_HEAT_W:
        return float(loop.case_heat_w)
    under = {part.role: part.number("heat") or 0.0 for _loop, _step, line in build.steps()
             if line.kind in ("board_block", "memory_block") and (part := build.cooled_by(line))}  # fmt: skip
    return max(0.0, USUAL_CASE_HEAT_W - sum(under.values()))


class _Draft:
    """One document in the making, with the facts it used and those it did not find."""

    def __init__(self, build):
        self.build = build
        self.basis, self.lacking, self.wanting = [], [], []

    def component(self, step, line):
        if line.kind in PUMPS:
            self.set(line.role, _l("speed, of rated"), f"{100 * step.speed:.4g} %", _l("its tach signal"))
            return {"kind": "pump", "name": line.role, **self.take(line, _PUMP, "pump"), "speed": float(step.speed)}
        if line.kind in BLOCKS:
            return {"kind": "block", "name": line.role, **self.take(line, _BLOCK, "block"), **self.cooled(line)}
        if line.kind == "radiator":
            return {"kind": "radiator", "name": line.role, **self.radiator(step, line)}
        kind = "reservoir" if line.kind == "reservoir" else "passive"
        return {"kind": kind, "name": line.role, **self.take(line, _FLOW)}

    def cooled(self, block):
        part = self.build.cooled_by(block)
        if part is None:
            self.lacking.append(
                RULE.caution(
                    _("It is not said what %(block)s cools, so nothing is known of its heat.") % {"block": block.part},
                    _("Add that part to the spec, and choose it at the block's step in the loop."), block,
                )
            )  # fmt: skip
            return {}
        taken = self.take(part, _COOLED, "cooled")
        return self.under_one(block, part, taken) if block.kind == "board_block" else taken

    def under_one(self, block, board, taken):
        """A board block may cool the processor too: their heats add up, and the lower limit holds."""
        too = block.yes("cools_processor")
        if too is None:
            self.wanting.append(RULE.missing(block, "cools_processor"))
        if not too:
            return taken
        processors = self.build.of_kind("processor")
        if len(processors) != 1:
            self.lacking.append(
                RULE.caution(
                    _("%(block)s cools a processor too, but the spec has %(count)d processors.")
                    % {"block": block.part, "count": len(processors)},
                    _("Put the one that it cools into the spec."), block,
                )
            )  # fmt: skip
            return taken
        also = self.take(processors[0], _COOLED, "cooled")
        heats = [line.number("heat") for line in (board, processors[0])]
        limits = [limit for line in (board, processors[0]) if (limit := line.number("limit")) is not None]
        both = taken | also
        if None not in heats:
            both["heat"] = f"{sum(heats)!r} W"
        return both | ({"limit": f"{min(limits)!r} degC"} if limits else {})

    def radiator(self, step, line):
        taken = self.take(line, _RADIATOR, "radiator")
        if not {"thickness", "core_depth"} & set(taken):
            self.lacking.append(RULE.missing(line, "core_depth"))
        fans = self.build.line(step.fans) if step.fans and step.fan_count else None
        if fans is None:
            self.lacking.append(
                RULE.caution(
                    _("%(radiator)s has no fans in the loop; its heat cannot be reckoned.") % {"radiator": line.part},
                    _("Choose the fans' role and their count at its step."), line,
                )
            )  # fmt: skip
            return taken
        self.set(line.role, _l("fan speed, of rated"), f"{100 * step.speed:.4g} %", _l("tach signal"))
        self.set(line.role, _l("loss of grille or filter"), f"{step.grille_loss:.4g}", _l("0 bare, 1.5 behind a panel"))
        return {
            **taken,
            "fans": {"count": step.fan_count, **self.fans(fans)},
            "fan_speed": float(step.speed), "layers": step.layers, "grille_loss": float(step.grille_loss),
            "draws_from": step.draws_from, "blows_to": step.blows_to,
        }  # fmt: skip

    def fans(self, line):
        """A fan's facts; points of a measured curve stand in for its two ends."""
        curve = line.text("curve")
        if curve is None:
            return self.take(line, _FANS, "fans")
        try:
            points = read_curve(curve, "m3/h", "Pa")
        except CurveError:
            self.lacking.append(RULE.missing(line, "curve"))
            return {}
        told = _("%(n)d points to %(flow)s") % {"n": len(points), "flow": _shown(points[-1][0], "m3/h")}
        self.note(line, "curve", told)
        ends = {name: about for name, about in _FANS.items() if name not in _NEEDED["fans"]}
        return {"curve": [[f"{flow!r} m3/h", f"{drop!r} Pa"] for flow, drop in points],
                **self.take(line, ends, "measured fans")}  # fmt: skip

    def coolant(self):
        lines = self.build.of_kind("coolant")
        if not lines or lines[0].text("fluid") is None:
            self.wanting += [RULE.missing(lines[0], "fluid")] if lines else []
            self.basis.append(Basis("", _("coolant"), _("water"), "assumed", _("read its label")))
            return {"fluid": "water"}
        fluid, share = lines[0].text("fluid"), lines[0].number("mass_fraction")
        self.note(lines[0], "fluid", fluid)
        if fluid == "water":
            return {"fluid": fluid}
        if share is None:
            self.lacking.append(RULE.missing(lines[0], "mass_fraction"))
            return {}
        self.note(lines[0], "mass_fraction", f"{share:g}")
        return {"fluid": fluid, "mass_fraction": share}

    def tubing(self, loop):
        given = {"length": f"{float(loop.tube_length_mm)!r} mm", "fitting_loss": float(loop.fitting_loss)}
        self.set("", _l("tube, all runs"), f"{loop.tube_length_mm / 1000:.4g} m", _l("a tape along the tube"), 2000.0,
                 loop.tube_length_mm)  # fmt: skip
        self.set("", _l("sum of fitting losses"), f"{loop.fitting_loss:.4g}",
                 _l("count: about 1 an angle, 0.5 a straight fitting"), 12.0, loop.fitting_loss)  # fmt: skip
        self.set("", _l("heat of other parts into case air"), f"{case_heat_w(self.build, loop):.4g} W",
                 _l("power at the wall less what the blocks cool"), USUAL_CASE_HEAT_W, loop.case_heat_w)  # fmt: skip
        self.set("", _l("altitude"), f"{loop.altitude_m:.4g} m", _l("a map"), 0.0, loop.altitude_m)
        tubes = [tube for tube in self.build.of_kind("tube") if tube.number("bore")]
        if tubes:
            given["bore"] = self.take(tubes[0], {"bore": ("bore", "mm")})["bore"]
        return given

    def room(self, build):
        origin, check = ("declared", "") if build.room_given else ("assumed", _("ask the client, or a thermometer"))
        self.basis.append(Basis("", _("warmest room"), f"{build.room_c:g} °C", origin, check))

    def take(self, line: LineFacts, names, part=""):
        """{key: "value unit"} of the known facts of a line; what is not known is noted."""
        taken = {}
        for name, (key, unit) in names.items():
            value = line.number(name)
            if value is None:
                continue
            taken[key] = value if unit == "1" else f"{value!r} {unit}"
            self.note(line, name, _shown(value, unit), _how_to_measure(part).get(key, ""))
        needed = [name for name in _NEEDED.get(part, ()) if line.number(name) is None]
        wanted = [name for name in _WANTED.get(part, ()) if line.number(name) is None]
        self.lacking += [RULE.missing(line, *needed)] if needed else []
        self.wanting += [RULE.missing(line, *wanted)] if wanted else []
        return taken

    def set(self, role, what, shown, check, usual=None, value=None):
        """Note what is set at the loop: declared, or assumed while it stands at the usual value."""
        assumed = usual is not None and float(value) == usual
        self.basis.append(Basis(role, str(what), shown, "assumed" if assumed else "declared", str(check)))

    def note(self, line, name, shown, check=""):
        origin = line.origin(name)
        how = "" if origin == "measured" or not check else _(check)
        self.basis.append(Basis(line.role, fact_label(line.kind, name), shown, origin, how))


def _how_to_measure(part):
    """{fact: how it is measured} as the model's components declare it."""
    from dataclasses import fields

    from thermal.block import Block
    from thermal.fan import Fans
    from thermal.pump import Pump
    from thermal.radiator import Radiator

    kind = {"pump": Pump, "block": Block, "cooled": Block, "radiator": Radiator, "fans": Fans,
            "measured fans": Fans}.get(part)  # fmt: skip
    return {field.name: field.metadata.get("check", "") for field in fields(kind)} if kind else {}


def _shown(value, unit):
    from thermal.units import symbol

    return f"{value:.4g} {symbol(unit)}".strip()


def at(build, room=None, speeds=None, heats=None):
    """The same build otherwise, nothing stored: room [°C], speeds {role: part of rated}, heats {role: W}."""
    speeds, heats = speeds or {}, heats or {}
    loops = tuple(
        replace(loop, steps=tuple(replace(step, speed=speeds.get(step.role, step.speed)) for step in loop.steps))
        for loop in build.loops
    )
    lines = tuple(
        replace(line, facts={**line.facts, "heat": Known(heats[line.role], "assumed")}) if line.role in heats else line
        for line in build.lines
    )
    room_c = build.room_c if room is None else room
    return replace(build, lines=lines, loops=loops, room_c=room_c, room_given=build.room_given or room is not None)
