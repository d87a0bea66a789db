"""What a hand-over pack with ten photos and the charts of a soak log costs: python -m tests.benchmarks.bench_pack

Budget (never asserted, machines differ): ≤ 5 s and < 5 MB. Wall and processor time of gathering and rendering, the
best of three, after a first one that loads the fonts; run in a test database of its own.
"""

import os
import time

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "builds.settings")


def main():
    import django
    from django.conf import settings
    from django.test.utils import setup_test_environment, teardown_test_environment

    settings.DATABASES["default"] = {"ENGINE": "django.db.backends.sqlite3", "NAME": ":memory:"}
    settings.STORAGES["default"] = {"BACKEND": "django.core.files.storage.InMemoryStorage"}
    settings.MIGRATION_MODULES = {"builds": None, "parts": None}
    django.setup()
    setup_test_environment()
    from django.core.management import call_command

    call_command("migrate", run_syncdb=True, verbosity=0)
    from builds.handover.contents import contents_of
    from builds.handover.models import Pack
    from builds.proving.logs import SoakLog
    from builds.proving.models import Trial
    from builds.sheets.render import render_pdf
    from parts.workshop.models import Workshop
    from parts.workshop.photos import clean_photo
    from tests.factories import PersonFactory
    from tests.handover.machine import built
    from tests.proving.readings import passed
    from tests.proving.soaklog import soak, written
    from tests.workshop.test_photos import busy

    owner = PersonFactory(username="wright", role="owner")
    job = built(owner, ready=False)
    passed(job, owner, ["air", "wet", "fill", "electrical"])
    log = SoakLog.begin(job, "soak.csv", written(soak(20_000.0, 0.1)), owner)
    start, processor = time.perf_counter(), time.process_time()
    log.match(log.targets, {"temperature": "degC", "time": "s", "from_minute": 0.0}, None, owner)
    print(f"log of {log.rows} rows matched, judged and kept: wall {time.perf_counter() - start:.2f} s, "
          f"processor {time.process_time() - processor:.2f} s")  # fmt: skip
    trials = list(Trial.objects.filter(gate__job=job))
    for seed in range(10):
        trials[seed % len(trials)].add_photo(clean_photo(busy(seed)), owner)
    pack = Pack(job=job, received_by="A. Halvorsen", person=owner)
    best, size = (float("inf"), float("inf")), 0
    for turn in range(4):
        wall, processor = time.perf_counter(), time.process_time()
        pdf = render_pdf("sheets/pack.html", contents_of(pack, Workshop.current()))
        size = len(pdf)
        if turn:
            best = min(best, (time.perf_counter() - wall, time.process_time() - processor))
    print(f"pack with {size / 1e6:.2f} MB: wall {best[0]:.2f} s, processor {best[1]:.2f} s")
    teardown_test_environment()


if __name__ == "__main__":
    main()
