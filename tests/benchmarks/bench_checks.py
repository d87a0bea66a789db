"""What all checks of a spec cost: python -m tests.benchmarks.bench_checks [lines]

A machine of 60 lines with a loop, measured runs, screws and cables, in SQLite in memory. Printed: queries and
processor time of gathering the facts, of all checks with the loop solved anew and with its answer at hand, of each
check alone, and of the findings together with their waivers. The best of several rounds.
"""

import os
import sys
import time

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "builds.settings")


def best(call, rounds=9):
    """Least processor time of a call [ms]."""
    times = []
    for _ in range(rounds):
        start = time.process_time()
        call()
        times.append(time.process_time() - start)
    return 1e3 * min(times)


def whole_machine(lines):
    """A spec version with so many lines, every run measured and three cables."""
    from builds.specs.cables import Cable, PinOut
    from builds.specs.runs import around
    from tests.factories import PersonFactory
    from tests.specs.rows import PARTS, machine

    by = PersonFactory(username="bench")
    spec = machine(extra=lines - len(PARTS))
    loop = spec.loops.get()
    run = {"length_mm": 400.0, "bends": 1, "angles": 1}
    loop.measure(dict.fromkeys(around(loop.ordered()), run), by)
    supply = spec.lines.get(role__name="power supply")
    plug = "graphics 2×4"
    PinOut(part=supply.part, supply_connector=plug, device_connector=plug).fill({1: "1"}, by)
    for n in range(3):
        ends = {"supply": supply.role, "device": spec.lines.get(role__name="graphics board").role}
        plugs = {"supply_connector": plug, "device_connector": plug}
        Cable(spec=spec).alter(by, name=f"cable {n}", awg=18, routed_mm=500.0, **ends, **plugs)
    return spec


def main(lines=60):
    import django

    django.setup()
    from django.conf import settings
    from django.db import connection
    from django.test.utils import CaptureQueriesContext, setup_test_environment

    settings.MIGRATION_MODULES = {"builds": None, "parts": None}
    setup_test_environment()
    connection.creation.create_test_db(verbosity=0, autoclobber=True)
    from builds.checks.heat import solved
    from builds.checks.registry import ALL, run
    from builds.specs.gather import facts_of
    from builds.specs.models import SpecVersion
    from builds.specs.sanity import findings_of
    from parts.workshop.models import Workshop

    spec, workshop = whole_machine(lines), Workshop.current()

    def fresh():
        return SpecVersion.objects.get(pk=spec.pk)

    def anew():
        solved.cache_clear()
        run(build)

    build = facts_of(spec, workshop)
    run(build)
    with CaptureQueriesContext(connection) as asked:
        found = findings_of(fresh(), workshop)
    print(f"{len(build.lines)} lines, {len(ALL)} checks, {len(found)} findings, {len(asked)} queries")
    print(f"gathering the facts      {best(lambda: facts_of(fresh(), workshop)):7.1f} ms")
    print(f"all checks, loop anew    {best(anew):7.1f} ms")
    print(f"all checks, loop known   {best(lambda: run(build)):7.1f} ms")
    print(f"findings with waivers    {best(lambda: findings_of(fresh(), workshop)):7.1f} ms")
    each = {rule.key: best(lambda check=check: check(build)) for rule, check in ALL.items()}
    for key, took in sorted(each.items(), key=lambda pair: -pair[1])[:8]:
        print(f"  {key:22} {took:7.2f} ms")


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
