"""Air test: the dry loop holds air; what it loses, corrected for temperature, is a leak rate.

The pressure-change method of leak testing: a closed volume V whose pressure falls by Δp in a time t leaks at
q = V·Δp/t (definition of the leakage rate, EN 1330-8). Pressures are absolute; the second is brought back to the
first temperature by the ideal gas law at constant volume.
"""

import math

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from thermal.units import format_quantity

from .judgement import FAILED, OPEN, PASSED, Judgement, Measure

ZERO_C = 273.15
ENOUGH = 0.8  # a test below this share of the test pressure says too little about the joints (common practice)
OVERSHOOT_BAR = 0.02

STEPS = (
    gettext_lazy("Loop dry and closed, pump off and unplugged, relief valve on the hand pump."),
    gettext_lazy("Raise the pressure slowly to the test pressure below, never above it; wear eye protection."),
    gettext_lazy("Let it settle for 5 minutes: pumping warms the air."),
    gettext_lazy("Read gauge, barometer and the air's temperature at the loop; read all three again after 60 minutes."),
    gettext_lazy("Keep sun, heaters and draughts away: one kelvin changes the gauge by about 5 mbar at 0.5 bar."),
    gettext_lazy("Let the air out slowly before any fitting is opened."),
)
CAUTIONS = (
    gettext_lazy("Low pressure only: the trade rarely goes above 0.5 bar gauge. Compressed air stores energy; "
                 "acrylic and glass can burst. Wear eye protection and follow the part makers' limits."),
    gettext_lazy("A warm room changes the reading, so the temperature is logged with every pressure."),
)  # fmt: skip


def pressure_for(machine, limits):
    """Test pressure, bar gauge, and the sentence that says where it comes from.

    The smaller of the workshop's pressure and the lowest limit of any part; with acrylic or glass of unknown limit
    the lower, careful pressure.
    """
    pressure, why = limits.air_pressure_bar, _("the workshop's own limit")
    if machine.brittle_unknown and limits.air_pressure_unknown_bar < pressure:
        pressure = limits.air_pressure_unknown_bar
        why = _("no pressure limit is known for %(parts)s") % {"parts": ", ".join(machine.brittle_unknown)}
    if machine.pressure_bar is not None and machine.pressure_bar < pressure:
        pressure, why = machine.pressure_bar, _("the limit of %(part)s") % {"part": machine.pressure_part}
    return pressure, why


def corrected_drop(p1_abs, p2_abs, t1_c, t2_c):
    """Pressure lost [mbar], the second reading brought back to the first temperature: p1 − p2·T1/T2.

    p1_abs, p2_abs: absolute pressures [mbar]; t1_c, t2_c: air temperatures [°C]. Ideal gas at constant volume
    (Gay-Lussac): a tight loop that warms by one kelvin at 0.5 bar gauge rises by 5.14 mbar and has lost nothing.

    >>> round(corrected_drop(1513.25, 1513.25 * (294.15 + 1.0) / 294.15, 21.0, 22.0), 6) + 0.0
    0.0
    >>> round(corrected_drop(1513.25, 1513.25, 21.0, 22.0), 2)
    5.13
    """
    return p1_abs - p2_abs * (t1_c + ZERO_C) / (t2_c + ZERO_C)


def leak_rate(volume_l, drop_mbar, minutes):
    """Leak rate [mbar·L/s] of a volume [L] that loses a pressure [mbar] in a time [min]: q = V·Δp/t (EN 1330-8).

    >>> leak_rate(1.0, 7.2, 60.0)
    0.002
    """
    return volume_l * drop_mbar / (minutes * 60.0)


def measures(machine, limits):
    pressure, _why = pressure_for(machine, limits)
    top = 1.5
    first, second = _("First reading"), _("Second reading")
    return (
        Measure("volume", _("air in the loop"), "L", 0.01, 50, initial=machine.volume_l or None,
                help=_("By the parts' facts; change it if you know better."), group=first),
        Measure("settled", _("minutes it settled before"), "min", 0, 600, group=first),
        Measure("pressure_1", _("gauge, first reading"), "bar", 0, top, group=first,
                help=_("At most %(limit)s.") % {"limit": format_quantity(pressure, "bar")}),
        Measure("temperature_1", _("air at the loop, first"), "degC", -5, 50, group=first),
        Measure("barometer_1", _("barometer, first"), "mbar", 600, 1100, group=first,
                help=_("Pressure where you are, not reduced to sea level; 1 hPa is 1 mbar.")),
        Measure("minutes", _("time between the readings"), "min", 1, 3000, group=second),
        Measure("pressure_2", _("gauge, second reading"), "bar", 0, top, group=second),
        Measure("temperature_2", _("air at the loop, second"), "degC", -5, 50, group=second),
        Measure("barometer_2", _("barometer, second"), "mbar", 600, 1100, group=second),
    )  # fmt: skip


def limit_lines(machine, limits):
    pressure, why = pressure_for(machine, limits)
    return (
        (_("test pressure"), _("%(p)s gauge: %(why)s") % {"p": format_quantity(pressure, "bar"), "why": why}),
        (_("leak rate"), _("at most %(q)s over %(min)s") % {"q": _rate(limits.air_leak_mbar_l_s),
                                                           "min": format_quantity(limits.air_minutes, "min")}),
        (_("coarse look"), _("%(min)s finds a gross leak; it passes nothing")
            % {"min": format_quantity(limits.air_coarse_minutes, "min")}),
        (_("thermometer"), _("two readings compare to %(k)s") % {"k": format_quantity(limits.thermometer_k, "K")}),
        (_("gauge"), _("smallest step %(step)s") % {"step": format_quantity(limits.gauge_step_mbar, "mbar")}),
    )  # fmt: skip


def uncertainty(p_abs, t_c, limits):
    """What the readings alone leave open of the drop [mbar]: (from the temperature, from the gauge's step)."""
    return p_abs * limits.thermometer_k / (t_c + ZERO_C), limits.gauge_step_mbar


def judge(measured, machine, limits):
    """Judge the readings by name (see `measures`); a gross leak fails at any duration, a pass wants all of it."""
    p1 = measured["pressure_1"] * 1000.0 + measured["barometer_1"]
    p2 = measured["pressure_2"] * 1000.0 + measured["barometer_2"]
    volume, minutes = measured["volume"], measured["minutes"]
    drop = corrected_drop(p1, p2, measured["temperature_1"], measured["temperature_2"])
    from_heat, from_gauge = uncertainty(p2, measured["temperature_2"], limits)
    unsure = math.hypot(from_heat, from_gauge)
    rate, rate_unsure = leak_rate(volume, drop, minutes), leak_rate(volume, unsure, minutes)
    outcome, reasons = _verdict(measured, machine, limits, drop, unsure, rate, rate_unsure)
    numbers = (
        (_("drop at the first temperature"), drop, "mbar"),
        (_("left open by thermometer and gauge"), unsure, "mbar"),
        (_("leak rate"), rate, "mbar·L/s"),
        (_("limit"), limits.air_leak_mbar_l_s, "mbar·L/s"),
    )
    return Judgement(outcome, tuple(reasons), numbers, causes=_causes(outcome))


def _verdict(measured, machine, limits, drop, unsure, rate, rate_unsure):
    limit = limits.air_leak_mbar_l_s
    if rate - rate_unsure > limit:
        return FAILED, [_("It leaks at %(q)s; the limit is %(limit)s.") % {"q": _rate(rate), "limit": _rate(limit)}]
    doubts = [*_doubts_of_method(measured, machine, limits), *_doubts_of_numbers(measured, limits, unsure, rate_unsure)]
    if drop < -unsure:
        doubts.append(
            _("The pressure rose by %(p)s after correction: air does not come in by itself. The temperature read was "
              "not that of the air inside, or the gauge moved; settle and read again.")
            % {"p": format_quantity(-drop, "mbar")}
        )  # fmt: skip
    if doubts:
        return OPEN, doubts
    if rate > limit:
        return FAILED, [_("It leaks at %(q)s; the limit is %(limit)s.") % {"q": _rate(rate), "limit": _rate(limit)}]
    return PASSED, [
        _("Over %(min)s it lost %(drop)s at the first temperature: %(q)s, within %(limit)s.")
        % {
            "min": format_quantity(measured["minutes"], "min"),
            "drop": format_quantity(max(drop, 0.0), "mbar"),
            "q": _rate(max(rate, 0.0)),
            "limit": _rate(limit),
        }
    ]


def _doubts_of_method(measured, machine, limits):
    """Why a test done this way cannot pass, whatever it read."""
    pressure, why = pressure_for(machine, limits)
    told = {"typed": format_quantity(measured["pressure_1"], "bar"), "p": format_quantity(pressure, "bar"), "why": why}
    if measured["pressure_1"] > pressure + OVERSHOOT_BAR:
        yield _("%(typed)s is above the test pressure of %(p)s (%(why)s). Let it down, look every part over, "
                "and test again at that pressure.") % told  # fmt: skip
    if measured["pressure_1"] < ENOUGH * pressure:
        yield _("%(typed)s is too little to judge by; test at %(p)s.") % told
    if measured["settled"] < limits.air_settle_minutes:
        yield _("It settled for less than %(min)s: air warmed by pumping cools and looks like a leak.") % {
            "min": format_quantity(limits.air_settle_minutes, "min")
        }
    if measured["minutes"] < limits.air_minutes:
        coarse = measured["minutes"] >= limits.air_coarse_minutes
        told = {
            "typed": format_quantity(measured["minutes"], "min"),
            "min": format_quantity(limits.air_minutes, "min"),
        }
        yield (
            _("%(typed)s is a coarse look that shows no gross leak; a pass wants %(min)s.") % told
            if coarse
            else _("%(typed)s is too short for anything; a pass wants %(min)s.") % told
        )


def _doubts_of_numbers(measured, limits, unsure, rate_unsure):
    if rate_unsure > limits.air_leak_mbar_l_s:
        needed = measured["volume"] * unsure / (limits.air_leak_mbar_l_s * 60.0)
        yield _(
            "Not judged: thermometer and gauge alone leave %(q)s open, more than the limit of %(limit)s. "
            "Wait at least %(min)s between the readings, or read both more finely."
        ) % {
            "q": _rate(rate_unsure),
            "limit": _rate(limits.air_leak_mbar_l_s),
            "min": format_quantity(math.ceil(needed), "min", 6),
        }


def _causes(outcome):
    if outcome != FAILED:
        return ()
    return (
        _("the test kit itself: its hose, its valve and its own fitting first"),
        _("fittings not tight, or an O-ring dry, nicked or missing; brush soapy water on each joint"),
        _("plugs of unused ports; the drain"),
        _("a tube cut askew or not seated to its stop"),
        _("the seal of a block, pump top or reservoir"),
    )


def _rate(value):
    return f"{value:.2g} mbar·L/s"
