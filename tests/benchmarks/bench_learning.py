"""What learning gives: python -m tests.benchmarks.bench_learning

Sixty invented workshops, eleven jobs each. Every workshop has its own true common factors, every job its own
scatter and readings with noise; after ten jobs the eleventh is foretold. Printed: how often the truth lies
within the 10–90 % range (80 % would be perfect), and the range's width after ten jobs by its width before.
"""

from pathlib import Path

import numpy as np

from thermal.document import load_loop
from thermal.learning import COOLANT_SD, LOAD_SD, PART_SD, SoakReading, learn
from thermal.loop import solve
from thermal.prior import COMMON_SD, ROOM_SD, Prior, model_of
from thermal.spread import figures, spread

LOOP = Path(__file__).parents[2] / "fixtures" / "loops" / "one-radiator.json"
WORKSHOPS, JOBS = 60, 11
KEYS = ("mean_over_room", "over_room.processor", "over_room.graphics", "coolant.mean", "components.processor")


def truth(loop, rng, common, heat_sd=None):
    """(Result of the machine as built, its log factors) for a workshop's true common factors."""
    model = model_of(loop) if heat_sd is None else model_of(loop, heat_sd)
    logs = model.common @ common + model.job * rng.standard_normal(len(model.job))
    return solve(loop, model.factors(logs), strict=False)


def soak(loop, job, rng, common):
    """The reading of one job's soak, with noise; the load is read 4 % wrong."""
    result = truth(loop, rng, common, LOAD_SD)
    coolant = float(result.nodes["pump"])
    coolant += COOLANT_SD * rng.standard_normal()
    parts = {name: float(value) + PART_SD * rng.standard_normal() for name, value in result.components.items()}
    return SoakReading(job=job, loop=loop, coolant=coolant, node="pump", parts=parts)


def main():
    loops = [load_loop(LOOP).with_parts(front={"fan_speed": speed}) for speed in (0.5, 0.75, 1.0)]
    rng = np.random.default_rng(5)
    inside, width = {key: [] for key in KEYS}, {key: [] for key in KEYS}
    fresh = [spread(loop, Prior()).ranges for loop in loops]
    for _ in range(WORKSHOPS):
        common = np.array(COMMON_SD) * rng.standard_normal(4)
        prior = learn([soak(loops[job % len(loops)], f"job {job}", rng, common) for job in range(JOBS - 1)]).prior
        place = int(rng.integers(len(loops)))
        ranges = spread(loops[place], prior).ranges
        for _ in range(20):  # twenty machines each, for a steadier count
            result = truth(loops[place], rng, common)
            offset = ROOM_SD * rng.standard_normal()
            for key in KEYS:
                true = figures(result)[key] + (0.0 if "over_room" in key else offset)
                inside[key].append(ranges[key][0] <= true <= ranges[key][2])
        for key in KEYS:
            before = fresh[place][key]
            width[key].append((ranges[key][2] - ranges[key][0]) / (before[2] - before[0]))
    print(f"{'figure':<28}{'truth inside':>14}{'width after ten jobs':>24}")
    for key in KEYS:
        print(f"{key:<28}{np.mean(inside[key]):>13.0%}{np.mean(width[key]):>23.2f} ×")


if __name__ == "__main__":
    main()
