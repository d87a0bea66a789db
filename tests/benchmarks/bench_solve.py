"""What a solve costs: python -m tests.benchmarks.bench_solve

Budgets (never asserted, machines differ): one solve ≤ 3 ms; 2,048 samples ≤ 20 × one solve and ≥ 100 × faster
than as many scalar solves.
"""

import time
from pathlib import Path

import numpy as np

from thermal.document import load_loop
from thermal.loop import Factors, solve

FOLDER = Path(__file__).parents[2] / "fixtures" / "loops"
SAMPLES = 2048


def seconds(action, times):
    """The best of five stretches of `times` runs, a run."""
    best = np.inf
    for _ in range(5):
        start = time.perf_counter()
        for _ in range(times):
            action()
        best = min(best, (time.perf_counter() - start) / times)
    return best


def main():
    rng = np.random.default_rng(1)
    names = ("air_flow", "air_side", "pump", "drops")
    factors = Factors(**{name: rng.lognormal(0.0, 0.15, SAMPLES) for name in names}, room=rng.normal(0, 1, SAMPLES))
    print(f"{'loop':<36}{'one solve':>12}{SAMPLES:>8} samples{'ratio':>8}{'faster than scalar':>20}")
    for path in sorted(FOLDER.glob("*.json")):
        loop = load_loop(path)
        one = seconds(lambda loop=loop: solve(loop), 20)
        many = seconds(lambda loop=loop: solve(loop, factors, strict=False), 2)
        shown = f"{one * 1e3:>9.2f} ms{many * 1e3:>13.1f} ms{many / one:>8.1f}{SAMPLES * one / many:>18.0f} ×"
        print(f"{path.stem:<36}{shown}")


if __name__ == "__main__":
    main()
