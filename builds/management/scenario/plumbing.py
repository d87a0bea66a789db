"""How the demo's loops are laid: runs measured by string, screws chosen, where they are filled and drained."""

from builds.checks.models import Waiver
from builds.specs.runs import around
from builds.specs.sanity import findings_of

# Each run's part of all the tube, and its bends; taken one after another round the loop.
RUNS = ((0.7, 1), (0.6, 2), (1.3, 2), (1.2, 1), (1.2, 2))
BLED = "Tipped and bled on the bench; the top radiator's spare port is opened while it fills."


def plumb(spec, loop, by, tube_mm):
    """Measure the runs, screw the fans on, and say where the loop is highest, lowest, filled and drained."""
    steps = {step.line.role.name: step for step in loop.ordered()}
    _run_tube(loop, by, tube_mm)
    screws = next((line.role for line in spec.lines.select_related("role") if line.role.name == "fan screws"), None)
    for step in steps.values():
        if step.kind == "radiator" and screws:
            step.alter(by, screws=screws, screw_through="fan", ports_at="level")
    reservoir = next(step for step in steps.values() if step.kind in {"reservoir", "pump_reservoir"})
    lowest = steps.get("front radiator", reservoir)
    loop.mark(by, highest=steps.get("top radiator", reservoir), filled_at=reservoir, lowest=lowest, drained_at=lowest)


def _run_tube(loop, by, tube_mm):
    pairs = around(loop.ordered())
    shares = [RUNS[n % len(RUNS)] for n in range(len(pairs))]
    whole = sum(share for share, _bends in shares)
    runs = {
        pair: {"length_mm": round(tube_mm * share / whole, -1), "bends": bends, "from_port": "out", "to_port": "in"}
        for pair, (share, bends) in zip(pairs, shares, strict=True)
    }
    loop.measure(runs, by)


def waive_bleeding(spec, by):
    """Go on though the top radiator lies above the filling point."""
    for finding in findings_of(spec):
        if finding.rule == "fill" and finding.severity == "caution":
            Waiver.objects.grant(spec.job, finding, BLED, by)
