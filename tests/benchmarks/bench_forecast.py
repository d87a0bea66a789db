"""What the forecast costs: python -m tests.benchmarks.bench_forecast [jobs] [tasks] [people]

200 jobs of 25 tasks share three people, one of them away for a fortnight; every fifth task waits for a part from one
of eight suppliers. Printed: the plan, and 500 samples for its dates, in processor milliseconds, the least of seven.
"""

import sys
import time
from datetime import date, timedelta

TODAY = date(2026, 11, 23)


def invented(jobs, tasks):
    """Pieces of invented jobs, the same each time."""
    import numpy as np

    from builds.labour.schedule import Piece

    rng, found = np.random.default_rng(1), []
    for job in range(jobs):
        for n in range(tasks):
            likely = float(rng.choice([0.5, 1, 2, 3]))
            after = [(job, n - 1)] * (n > 0) + [(job, n - 3)] * (n > 3 and rng.random() < 0.3)
            day = TODAY + timedelta(days=int(rng.integers(60)))
            arrivals = ((day, f"supplier {rng.integers(8)}", "part"),) if rng.random() < 0.2 else ()
            found.append(Piece((job, n), job, likely * 0.7, likely, likely * 1.8, tuple(after), arrivals))
    return found


def least(call, rounds=7):
    """(least processor milliseconds, what it returned)."""
    took = []
    for _ in range(rounds):
        start = time.process_time()
        found = call()
        took.append((time.process_time() - start) * 1e3)
    return min(took), found


def main(jobs=200, tasks=25, people=3):
    from builds.labour.sampling import quantile_days, samples
    from builds.labour.schedule import schedule
    from builds.labour.working_time import working_time

    work, ranks = invented(jobs, tasks), {job: (0, job) for job in range(jobs)}
    weeks = [[8] * 5 + [0] * 2] * (people - 1) + [[8, 8, 8, 8, 5, 0, 0]]
    away = [[(TODAY + timedelta(days=20), TODAY + timedelta(days=33))]] + [[]] * (people - 1)
    axis, plan_time = least(lambda: working_time(TODAY, weeks, 1200, away=away))
    placing, plan = least(lambda: schedule(work, ranks, plan_time))
    sampling, _days = least(lambda: quantile_days(plan, samples(plan)))
    print(f"{jobs} jobs × {tasks} tasks × {people} people: {sum(piece.likely for piece in work):.0f} h")
    print(f"calendar {axis:.0f} ms + plan {placing:.0f} ms + 500 samples {sampling:.0f} ms")
    print(f"together {axis + placing + sampling:.0f} ms (budget 300)")


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
