"""An operating point as a plain table for a terminal."""

__all__ = ["table"]


def table(title, result, remarks=(), ranges=None):
    """Lines of text: the loop in order, its radiators, the whole, the ranges, what there is to say about it."""
    lines = [title, *_path(result), "", *_radiators(result), "", *_whole(result)]
    if ranges:
        lines += ["", *_ranges(ranges)]
    if remarks:
        lines += ["", *(f"  {remark.severity:<8}{remark.sentence}" for remark in remarks)]
    return "\n".join(lines)


def _path(result):
    yield f"  {'component':<24}{'coolant in °C':>14}{'part °C':>10}"
    for name, coolant in result.nodes.items():
        part = result.components.get(name)
        shown = "" if part is None else f"{float(part):.1f}"
        yield f"  {name:<24}{float(coolant):>14.2f}{shown:>10}"


def _radiators(result):
    yield f"  {'radiator':<24}{'heat W':>9}{'air m³/h':>10}{'air Pa':>8}{'UA W/K':>9}{'W per 10 K':>12}"
    for name, one in result.radiators.items():
        yield (
            f"  {name:<24}{float(one.heat):>9.1f}{float(one.air_flow) * 3600.0:>10.1f}"
            f"{float(one.air_pressure_drop):>8.2f}{float(one.ua):>9.2f}{float(one.per_ten_kelvin):>12.1f}"
        )


def _whole(result):
    rows = [
        ("flow", f"{float(result.flow) * 60000.0:.3f} L/min at {float(result.pressure) / 1000.0:.2f} kPa"),
        ("coolant mean", f"{float(result.mean):.2f} °C, {float(result.mean_over_room):.2f} K over the room"),
        ("coolant from, to", f"{float(result.coolest):.2f} °C, {float(result.warmest):.2f} °C"),
        ("case air", f"{float(result.case_air):.2f} °C"),
        ("heat", f"{float(result.heat):.1f} W"),
        ("sound", "not declared" if result.sound_level is None else f"{float(result.sound_level):.1f} dB(A)"),
        ("energy residual", f"{float(result.energy_residual):.1e}"),
    ]
    return (f"  {name:<24}{value}" for name, value in rows)


def _ranges(ranges):
    yield f"  {'range':<34}{'10 %':>10}{'50 %':>10}{'90 %':>10}"
    for key, values in ranges.items():
        label, scale, digits = _shown(key)
        yield f"  {label:<34}" + "".join(f"{value * scale:>10.{digits}f}" for value in values)


def _shown(key):
    """(label with unit, factor, decimals) of a range's key."""
    if key == "flow":
        return "flow, L/min", 60000.0, 2
    if key.endswith(".air_flow"):
        return f"{key}, m³/h", 3600.0, 1
    units = {"heat": "W", "ua": "W/K", "conductance": "W/K"}
    unit = units.get(key.rpartition(".")[2], "K" if "over_room" in key else "°C")
    return f"{key}, {unit}", 1.0, 1
