"""What the forecast costs: python -m tests.benchmarks.bench_forecast [jobs] [tasks] [people]

200 jobs of 25 tasks share three people, one of them away for a fortnight; every fifth task waits for a part from one
of eight suppliers. Printed: the plan, and 500 samples for its dates, in processor milliseconds, the least of seven.
Then the same from a database: such jobs with their spec, stock, orders and hours read, forecast, and what is said of
each job kept, as a page does when something has changed; by the time it takes to read a kept one.
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


def shop_of(jobs, tasks, people):
    """Jobs in the database, their parts from eight suppliers on many days; people with weeks of their own."""
    from random import Random

    from builds.labour.models import Absence, BenchWeek
    from parts.orders.models import Order, OrderLine
    from tests.board.scenes import Scene, days
    from tests.factories import PersonFactory, SupplierFactory

    scene, draw = Scene(parts=24, tasks=tasks), Random(1)
    for number in range(1, jobs + 1):
        scene.job(number, promise=number % 90)
    suppliers = [SupplierFactory() for _ in range(8)]
    for order in Order.objects.all():
        Order.objects.filter(pk=order.pk).update(supplier=draw.choice(suppliers))
    for line in OrderLine.objects.all():
        OrderLine.objects.filter(pk=line.pk).update(promised=days(draw.randrange(1, 60)))
    hands = [scene.person, *(PersonFactory() for _ in range(people - 1))]
    week = dict.fromkeys(["monday", "tuesday", "wednesday", "thursday"], 8)
    for hand in hands:
        BenchWeek.objects.create(person=hand, **week, friday=5 if hand == hands[0] else 8)
    Absence.objects.create(person=hands[-1], first=days(20), last=days(33))


def from_the_database(jobs, tasks, people):
    from tests.benchmarks.books import empty_books

    empty_books()
    from builds.jobs.models import Job
    from builds.labour.foreseen import outlooks
    from builds.labour.models import KeptForecast

    shop_of(jobs, tasks + 2, people)  # of the scene's tasks two are done
    live = list(Job.objects.live())

    def anew():
        KeptForecast.objects.all().delete()
        return outlooks(live)

    whole, _found = least(anew)
    kept, _found = least(lambda: outlooks(live))
    print(f"read, forecast and kept, all of it: {whole:.0f} ms (budget 300); read as kept: {kept:.0f} ms")


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
    from_the_database(jobs, tasks, people)


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
