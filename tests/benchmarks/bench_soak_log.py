"""What reading in a soak log costs: python -m tests.benchmarks.bench_soak_log

Budget (never asserted, machines differ): 200,000 rows read, judged and reduced to 500 points a column ≤ 2 s.
Wall and processor time of each step, the best of three.
"""

import os
import time

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "builds.settings")

ROWS = 200_000


def main():
    import django

    django.setup()
    from builds.proving import soak as soak_test
    from builds.proving.judgement import Limits, Machine, Predicted
    from builds.proving.log_columns import Reading, gathered, guess
    from builds.proving.log_faults import look_over
    from builds.proving.log_file import read_log
    from builds.proving.log_result import result_of
    from tests.proving.soaklog import soak, written

    machine = Machine(
        predicted=(Predicted("coolant", "coolant", 9.2, 7.5, 11.5), Predicted("p1", "processor", 22.0, 17.0, 29.0)),
        heat_w=300.0, time_constant_min=4.0,
    )  # fmt: skip
    labels = [p.label for p in machine.predicted]
    columns = soak(ROWS * 0.1, 0.1)
    files = {
        "counted seconds": written(columns),
        "clock, decimal comma": written(columns, comma=True, clock="%d.%m.%Y %H:%M:%S"),
        "clock that grows a figure": written(columns, clock="%H:%M:%S.%f"),
    }

    def whole(data):
        log = read_log(data)
        looked = look_over(gathered(log, Reading(tuple(guess(log.headings, labels)))))
        result = result_of(looked.columns, machine)
        return looked.doubts, soak_test.judge(result.measured, machine, Limits()).outcome

    print(f"{'log of 200,000 rows':<28}{'MB':>6}{'wall, s':>10}{'processor, s':>14}  outcome")
    for name, data in files.items():
        best = (float("inf"), float("inf"))
        for _turn in range(3):
            wall, processor = time.perf_counter(), time.process_time()
            doubts, outcome = whole(data)
            best = min(best, (time.perf_counter() - wall, time.process_time() - processor))
        print(f"{name:<28}{len(data) / 1e6:>6.1f}{best[0]:>10.2f}{best[1]:>14.2f}  {doubts or outcome}")


if __name__ == "__main__":
    main()
