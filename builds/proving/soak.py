"""Soak test: the machine under load until nothing moves any more; measured against predicted.

Steady (3-thermal): at least the longer of five time constants and 30 minutes at one load; over the last minutes the
coolant's rise over the room drifts by at most 0.3 K within a time constant, and the room by at most 3 K an hour.
Differences are taken over the room, so that a warmer room than foretold does not count against the machine.
"""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from thermal.units import format_quantity

from .judgement import CHOICE, FAILED, OPEN, PASSED, Judgement, Measure

COOLANT, FLOW = "coolant", "flow"
FANS, PUMP = "fan_speed", "pump_speed"
SPEEDS = (5.0, 100.0)  # percent; slower than that is standing still, a fault to find and not a speed to foretell for
PER_HOUR = 60.0
# The case's metal is slower than coolant and blocks, so a quick loop is held to five minutes, and a loop without a
# model to ten (common practice for a desktop loop).
LEAST_CONSTANT_MIN, UNKNOWN_CONSTANT_MIN = 5.0, 10.0

STEPS = (
    gettext_lazy(
        "Case closed as it will stand, fans and pump at the speeds of the spec, sensors compared cold and off."
    ),
    gettext_lazy("Load everything the loop cools and keep it there."),
    gettext_lazy("Read room and coolant, wait at least ten minutes, read all again: the second reading is judged."),
    gettext_lazy("Read the room where its air goes in, in the shade, away from the machine's exhaust."),
)
CAUTIONS = (
    gettext_lazy("Hot parts: do not touch blocks, radiators or the graphics board's back while it runs; touch limits "
                 "per ISO 13732-1 begin at 51\u00a0°C for metal held for a minute."),
    gettext_lazy("Stay near: at the first drop, smell or alarm take the plug out before anything is opened."),
)  # fmt: skip


def measures(machine, limits):
    """Room and coolant twice, load, minutes, and each component the model knows."""
    minutes = format_quantity(steady_minutes(machine, limits), "min")
    load, earlier, now = _("Load"), _("Earlier"), _("Now")
    return (
        Measure("load", _("heat of all that the blocks cool"), "W", 1, 5000, initial=machine.heat_w, group=load,
                help=_("As measured or read from the parts' own sensors.")),
        Measure("minutes", _("time at this load"), "min", 0, 10000, group=load,
                help=_("Steady takes at least %(min)s.") % {"min": minutes}),
        *_speeds(machine, load),
        *_sensor(machine, load),
        Measure("room_1", _("room, earlier"), "degC", -5, 50, group=earlier),
        Measure("coolant_1", _("coolant, earlier"), "degC", -5, 99, group=earlier),
        Measure("between", _("time from then to now"), "min", 1, 600, group=now),
        Measure("room", _("room, now"), "degC", -5, 50, group=now),
        Measure(COOLANT, _("coolant, now"), "degC", -5, 99, group=now),
        *(Measure(p.name, _("%(part)s, now") % {"part": p.label}, "degC", -5, 130, group=now)
          for p in machine.predicted if p.name != COOLANT),
        *_flow(machine, now),
    )  # fmt: skip


def _flow(machine, group):
    if machine.flow:
        yield Measure(FLOW, _("flow, now"), "L/min", 0, 100, required=False, group=group,
                      help=_("Where a meter shows it."))  # fmt: skip


def _speeds(machine, group):
    """How fast fans and pumps ran, where it was not as the spec says: the range is then foretold for that."""
    if not machine.predicted:
        return
    as_spec = _("Where it is known; else taken as the spec says.")
    for name, label in ((FANS, _("fans, of their rated speed")), (PUMP, _("pump, of its rated speed"))):
        yield Measure(name, label, "%", *SPEEDS, required=False, group=group, help=as_spec)


def speeds_of(measured):
    """{FANS or PUMP: percent} of what was measured of them."""
    return {name: measured[name] for name in (FANS, PUMP) if measured.get(name) is not None}


def _sensor(machine, group):
    """Where the coolant is read: warmest and coolest place of a loop may lie a kelvin apart."""
    if machine.places:
        yield Measure("sensor", _("coolant sensor, at the inlet of"), CHOICE, required=False, group=group,
                      choices=tuple(enumerate(machine.places, 1)),
                      help=_("Not chosen: taken as the mean of the loop."))  # fmt: skip


def steady_minutes(machine, limits):
    """Minutes at one load before a reading counts as steady."""
    from_loop = limits.soak_time_constants * (machine.time_constant_min or 0.0)
    return max(limits.soak_minutes, from_loop)


def limit_lines(machine, limits):
    minutes = format_quantity(steady_minutes(machine, limits), "min")
    lines = [
        (_("steady"), _("at least %(min)s at one load, room drifting by at most %(k)s an hour")
            % {"min": minutes, "k": format_quantity(limits.soak_room_drift_k_h, "K")}),
    ]  # fmt: skip
    for p in machine.predicted:
        told = {"low": f"{p.low:.1f}", "high": f"{p.high:.1f}", "point": f"{p.over_room:.1f}"}
        lines.append((p.label, _("%(point)s K over the room foretold, %(low)s–%(high)s K") % told))
    if machine.flow:
        lines.append((_("flow"), _("%(point)s L/min foretold, %(low)s–%(high)s L/min") % _in_words(machine.flow)))
    if not machine.predicted:
        lines.append((_("temperatures"), _("recorded; nothing is foretold for this machine")))
    return tuple(lines)


def judge(measured, machine, limits):
    """Judge the second reading.

    Over a part's limit, now or carried to the warmest room promised, fails at any time. Not steady is not judged.
    Outside what was foretold is a finding with causes and no failure by itself: of sound machines one in ten lies
    above the 90 % mark.
    """
    compared = compare(measured, machine)
    numbers = tuple((_("%(part)s over the room") % {"part": p.label}, rise, "K") for p, rise, _where in compared)
    flow_side, flow_said = _flow_against(measured.get(FLOW), machine.flow)
    first = causes(compared, flow_side)
    hot = list(_over_limit(compared, measured, machine))
    if hot:
        return Judgement(FAILED, tuple(hot), numbers, flow_said, first)
    if not compared:
        return Judgement(OPEN, (_("Nothing is foretold for this machine to compare with: give its loop in the spec."),))
    doubts = tuple(_not_steady(measured, machine, limits))
    outside = [_outside(p, rise, where) for p, rise, where in compared if where]
    findings = (*outside, *flow_said, *_not_looked_at(compared, machine))
    if doubts:
        return Judgement(OPEN, doubts, numbers, findings, first)
    reason = _(
        "Steady after %(min)s; %(inside)d of %(n)d temperatures within what was foretold, none above a limit known."
    )
    told = {
        "n": len(compared),
        "inside": len(compared) - len(outside),
        "min": format_quantity(measured["minutes"], "min"),
    }
    return Judgement(PASSED, (reason % told,), numbers, findings, first)


def compare(measured, machine):
    """[(predicted, measured rise over the room [K], -1 below, 0 inside, 1 above)] for what was measured."""
    found = []
    for p in machine.predicted:
        value = measured.get(p.name)
        if value is None:
            continue
        rise = value - measured["room"]
        found.append((p, rise, 1 if rise > p.high else -1 if rise < p.low else 0))
    return found


def _flow_against(measured, foretold):
    """(-1 below, 0 within, 1 above what was foretold, or not measured; (the sentence,) where it lies outside)."""
    if measured is None or foretold is None or foretold.low <= measured <= foretold.high:
        return 0, ()
    told = {"flow": f"{measured:.1f}", **_in_words(foretold)}
    if measured < foretold.low:
        return -1, (_("The flow is %(flow)s L/min, below the %(low)s–%(high)s L/min foretold.") % told,)
    return 1, (_("The flow is %(flow)s L/min, above the %(low)s–%(high)s L/min foretold.") % told,)


def _in_words(flow):
    return {"point": f"{flow.point:.1f}", "low": f"{flow.low:.1f}", "high": f"{flow.high:.1f}"}


def _not_steady(measured, machine, limits):
    needed = steady_minutes(machine, limits)
    if measured["minutes"] < needed:
        told = {"typed": format_quantity(measured["minutes"], "min"), "min": format_quantity(needed, "min")}
        yield _("%(typed)s at this load; steady takes at least %(min)s. Read again then.") % told
    if measured["between"] < 10.0:
        yield _("The two readings lie %(min)s apart; drift shows only over 10 min or more.") % {
            "min": format_quantity(measured["between"], "min")
        }
    drift = (measured[COOLANT] - measured["room"] - measured["coolant_1"] + measured["room_1"]) / measured["between"]
    drift_k = abs(drift) * max(machine.time_constant_min or UNKNOWN_CONSTANT_MIN, LEAST_CONSTANT_MIN)
    if drift_k > limits.soak_drift_k:
        yield _(
            "The coolant still moves: %(k)s within a time constant, the limit is %(limit)s. Wait and read again."
        ) % {
            "k": format_quantity(drift_k, "K"),
            "limit": format_quantity(limits.soak_drift_k, "K"),
        }
    room_drift = abs(measured["room"] - measured["room_1"]) / measured["between"] * PER_HOUR
    if room_drift > limits.soak_room_drift_k_h:
        yield _("The room drifts by %(k)s an hour, the limit is %(limit)s. Let it settle and read again.") % {
            "k": format_quantity(room_drift, "K"),
            "limit": format_quantity(limits.soak_room_drift_k_h, "K"),
        }


def _over_limit(compared, measured, machine):
    warmest = machine.room_warmest_c
    for p, rise, _where in compared:
        if p.limit_c is None:
            continue
        told = {"part": p.label, "limit": format_quantity(p.limit_c, "degC")}
        value = measured[p.name]
        if value > p.limit_c:
            yield _("%(part)s at %(t)s is above its limit of %(limit)s.") % {
                **told,
                "t": format_quantity(value, "degC"),
            }
        elif warmest is not None and warmest + rise > p.limit_c:
            yield _(
                "In the warmest room promised, %(room)s, %(part)s would reach %(t)s, above its limit of %(limit)s."
            ) % {
                **told,
                "room": format_quantity(warmest, "degC"),
                "t": format_quantity(warmest + rise, "degC"),
            }


def _not_looked_at(compared, machine):
    """What nobody could judge for want of a fact: said, and never passed over."""
    without = [p.label for p, _rise, _where in compared if p.limit_c is None]
    if without:
        yield _("No limit is known for %(parts)s: whether it runs too hot was not judged. Look it up.") % {
            "parts": ", ".join(without)
        }
    if machine.room_warmest_c is None:
        yield _("The brief names no warmest room: how hot it gets there was not judged. Ask, and write it down.")


def _outside(p, rise, where):
    told = {"part": p.label, "rise": f"{rise:.1f}", "low": f"{p.low:.1f}", "high": f"{p.high:.1f}"}
    if where > 0:
        return _("%(part)s is %(rise)s K over the room, above the %(low)s–%(high)s K foretold.") % told
    return _("%(part)s is %(rise)s K over the room, below the %(low)s–%(high)s K foretold.") % told


def causes(compared, flow=0):
    """What to look at first, by which temperatures lie outside, and on which side the flow does. Common practice."""
    where = {p.name: side for p, _rise, side in compared}
    coolant, parts = where.get(COOLANT, 0), [side for name, side in where.items() if name != COOLANT]
    found = []
    if coolant > 0:
        found += [
            _("air side: a fan stopped or turned round, a filter or panel in the way, warm air drawn in again"),
            _("air trapped in a radiator: bleed on"),
            _("more heat than the load says"),
        ]
    if coolant <= 0 and any(side > 0 for side in parts):
        found += [
            _("the block's seat: paste, mounting pressure, a film left on"),
            _("flow through that block: turned round, air in it, or a pump below its speed"),
        ]
    if flow > 0:
        found.append(_("a flow meter that reads high, or one that is not calibrated for this coolant"))
    if flow < 0 or (coolant > 0 and any(side > 0 for side in parts)):
        found.append(_("low flow: a kink, a closed valve, a pump below its speed"))
    if coolant < 0 or any(side < 0 for side in parts):
        found += [_("less heat than the load says"), _("a sensor that reads low, or the room read in the exhaust")]
    return tuple(found)
