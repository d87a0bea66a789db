"""What the board costs: python -m tests.benchmarks.bench_board [live] [closed]

200 live jobs of 18 tasks and 24 parts and 20,000 closed ones, in SQLite. Printed: queries, the time of
each page by the time of a bare Django view that renders the same lines from one query, and the same pages with a
hundredth of the closed jobs. Processor time, the database within it; the ratios count.
"""

import sys
import time

from tests.benchmarks.books import empty_books


def timed(client, address, rounds=7):
    """(least processor seconds, queries) of a page; the database runs in this process."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    client.get(address)
    with CaptureQueriesContext(connection) as seen:
        assert client.get(address).status_code == 200
        queries = len(seen)
    times = []
    for _ in range(rounds):
        start = time.process_time()
        client.get(address)
        times.append(time.process_time() - start)
    return min(times), queries


def close_jobs(scene, first, count):
    """Closed jobs with a spec line and a task each, made in bulk."""
    from builds.jobs.models import Job, Stage
    from builds.labour.models import Task
    from builds.specs.models import Role, SpecLine, SpecVersion
    from parts.shelf.models import Tray, Unit

    numbers = range(first, first + count)
    trays = Tray.objects.bulk_create([Tray(name=f"J-{n:05d}") for n in numbers], 500)
    jobs = Job.objects.bulk_create(
        [
            Job(number=n, title=f"Closed machine {n}", client=scene.client, tray=tray, stage=Stage.HANDED_OVER)
            for n, tray in zip(numbers, trays, strict=True)
        ],
        500,
    )
    specs = SpecVersion.objects.bulk_create([SpecVersion(job=job, number=1) for job in jobs], 500)
    roles = Role.objects.bulk_create([Role(job=job, kind="other", name="part") for job in jobs], 500)
    SpecLine.objects.bulk_create(
        [SpecLine(spec=s, role=r, part=scene.parts[0]) for s, r in zip(specs, roles, strict=True)], 500
    )
    facts = {"work_kind": scene.kind, "hours_low": 1, "hours_likely": 2, "hours_high": 3}
    Task.objects.bulk_create([Task(job=job, name="Pack", **facts) for job in jobs], 500)
    Unit.objects.bulk_create(
        [Unit(part=scene.parts[0], serial=f"S{n:06d}", tray=tray) for n, tray in zip(numbers, trays, strict=True)], 500
    )


def bare_view():
    """The same page and lines with nothing worked out, from one query."""
    from django.shortcuts import render

    from builds.board.rows import Row, gauge_of
    from builds.jobs.models import Job
    from builds.plots.measure import measure
    from parts.workshop.access import for_workshop

    rule = measure(5, 20, "5 of 20 h")

    @for_workshop
    def bare(request):
        rows = [
            Row(
                str(job), f"/jobs/{job}/", job.title, job.client.name, gauge_of(job), job.stage, "Rinse radiators",
                "waits for pump, due Thu 3 Dec", "", "5 of 20 h", rule, "1,240.00", "3 Dec", "7 Dec", "4 days late",
                "late",
            )
            for job in Job.objects.live().select_related("client")
        ]  # fmt: skip
        return render(request, "board/board.html", {"rows": rows, "sentence": "", "q": ""})

    return bare


def main(live=200, closed=20_000):
    empty_books()
    from django.test import Client
    from django.urls import path

    from builds import urls
    from tests.board.scenes import Scene
    from tests.factories import PersonFactory

    urls.urlpatterns.append(path("bare/", bare_view()))
    scene = Scene(parts=24, tasks=18)
    for number in range(1, live + 1):
        scene.job(number, promise=number % 90)
    client = Client()
    client.force_login(PersonFactory(username="bench"))
    pages = {"board": "/", "today": "/today/", "search": "/?q=machine", "search, serial": "/?q=S000300"}
    few = closed // 100
    close_jobs(scene, live + 1, few)
    small = {name: timed(client, address)[0] for name, address in pages.items()}
    close_jobs(scene, live + few + 1, closed - few)
    bare, _queries = timed(client, "/bare/")
    print(f"{live} live jobs, {closed} closed; the bare view takes {bare * 1e3:.0f} ms")
    for name, address in pages.items():
        took, queries = timed(client, address)
        growth = took / small[name]
        print(f"{name:15} {queries:3} queries  {took / bare:5.2f} × bare  {growth:5.2f} × with {few} closed")


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
