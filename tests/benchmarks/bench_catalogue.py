"""What finding parts costs: python -m tests.benchmarks.bench_catalogue [parts]

50,000 parts of ten kinds with their usual facts, in SQLite. Printed: the time of typed queries (their page of 50 and
their count), of the list's whole page, of "what fits" a role, of reading in a list of 5,000 lines, and of a workbook
as long. Least of several rounds, in milliseconds of processor time, the database within it.
"""

import os
import sys
import time

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "builds.settings")

QUERIES = (
    "radiator, 3 × 120, ≤ 45 mm",
    "radiator, 3 × 120, ≤ 45 mm, in stock",
    "radiator, 9 × 120, ≤ 16 mm",
    "fan, 120 × 25, ≥ 61 CFM, ≤ 24 dB",
    "thickness ≤ 16 mm",
    "saltmarsh 4711",
    "bw-4711",
    "",
)
PLACES = {
    "radiator": ("sections", "section_size", "thickness", "core_depth", "fins_per_inch", "length", "width", "volume"),
    "fan": ("size", "thickness", "rated_speed", "free_flow", "max_pressure", "sound_level"),
}


def least(call, rounds=5):
    """Least milliseconds of processor time of a call, after a first one that warms up."""
    call()
    times = []
    for _ in range(rounds):
        start = time.process_time()
        call()
        times.append(time.process_time() - start)
    return 1000 * min(times)


def fill(count):
    """Parts with facts spread over what their kinds allow, each with a price, some of them on the free shelf."""
    from parts.catalogue.models import Fact, Part
    from parts.shelf.models import Place, Stock, Tray
    from parts.suppliers.models import Supplier, SupplierPrice

    kinds = ("radiator", "fan", "graphics_block", "processor_block", "fitting", "tube", "graphics", "board", "memory",
             "power_supply")  # fmt: skip
    parts = [Part(kind=kinds[n % 10], name=f"Saltmarsh {kinds[n % 10]} {n}") for n in range(count)]
    for part in parts:
        part.search = part.words
    Part.objects.bulk_create(parts, 1000)
    facts = [Fact.of(part.pk, *one) for n, part in enumerate(parts) for one in facts_of(part.spec, n // 10)]
    Fact.objects.bulk_create(facts, 2000)
    place, free = Place.objects.create(name="box"), Tray.free_shelf()
    Stock.objects.bulk_create([Stock(part=part, place=place, tray=free, quantity=1) for part in parts[::7]], 1000)
    one = Supplier.objects.create(name="Bench Wire")
    prices = [SupplierPrice(part=part, supplier=one, price=n % 90, code=f"BW-{n}") for n, part in enumerate(parts)]
    SupplierPrice.objects.bulk_create(prices, 2000)
    return len(facts)


def facts_of(spec, n):
    special = {"sections": 1 + n % 4, "section_size": (120, 140)[n % 2], "size": (120, 140)[n % 2],
               "thickness": 15 + n % 60 if spec.key == "radiator" else 15 + n % 2 * 10}  # fmt: skip
    for at, fact in enumerate(spec.facts):
        origin = ("declared", "typical")[(n + at) % 2]
        if fact.name in special and not fact.is_text:
            yield fact.name, float(special[fact.name]), origin
        elif fact.choices:
            yield fact.name, fact.choices[n % len(fact.choices)], origin
        elif fact.is_text:
            yield fact.name, f"K{n % 50}", origin
        elif fact.unit == "yes":
            yield fact.name, float(n % 2), origin
        else:
            yield fact.name, fact.lower + (fact.upper - fact.lower) * (n * 7919 % 1000) / 1000, origin


def main(count=50_000):
    import django
    from django.test.utils import setup_databases, setup_test_environment

    django.setup()
    setup_test_environment()
    from django.conf import settings

    settings.MIGRATION_MODULES = {"builds": None, "parts": None}
    setup_databases(verbosity=0, interactive=False)
    from django.core.paginator import Paginator
    from django.test import Client
    from django.urls import reverse

    from parts.catalogue.asking import Asked
    from tests.factories import PersonFactory

    facts = fill(count)
    print(f"{count} parts, {facts} facts", flush=True)
    for typed in QUERIES:

        def page(typed=typed):
            found = Asked({"q": typed}).parts.with_facts()
            return list(Paginator(found, 50).get_page(1)), Paginator(found, 50).count

        print(f"{least(page):8.1f} ms  {page()[1]:6d} found  {typed or '(everything)'}")
    client = Client()
    client.force_login(PersonFactory(role="owner"))
    address = reverse("catalogue:list")
    print(f"{least(lambda: client.get(address, {'q': QUERIES[0]})):8.1f} ms  the whole page of {QUERIES[0]}")
    fits()
    preview(client)
    workbook()


def fits():
    """What fits, over the same catalogue."""
    from builds.specs.candidates import candidates
    from builds.specs.models import Role
    from tests.specs.rows import machine

    spec = machine()
    for name in ("front radiator", "graphics block", "graphics board", "processor block"):
        role = Role.objects.filter(job=spec.job, name=name).first()
        if role is None:
            continue

        def tried(role=role):
            return candidates(type(spec).objects.get(pk=spec.pk), role)

        found, count = tried()
        fitting = sum(1 for one in found if one.fits)
        print(f"{least(tried):8.1f} ms  what fits as {name}: {fitting} of {len(found)} shown fit, {count} counted")


def preview(client):
    """A list of 5,000 lines: sent, matched, looked through."""
    from django.core.files.uploadedfile import SimpleUploadedFile
    from django.urls import reverse

    from parts.catalogue.drafts import ImportDraft
    from tests.factories import once

    head = "Name;Kind;Maker;Supplier;Price;Code;Sections;Section size;Thickness (mm);Fins per inch;Length;Remark\n"
    body = "".join(
        f"Radiator {n};radiator;M{n % 9};Sup {n % 7};{20 + n % 90},{n % 90 + 10};C-{n};{1 + n % 4};120 mm;"
        f"{20 + n % 45 + n / 10000:.4f};{8 + n % 20};{600 + n % 300};note {n}\n"
        for n in range(4999)
    )
    start = time.process_time()
    client.post(reverse("catalogue:import"), once(file=SimpleUploadedFile("list.csv", (head + body).encode())))
    sent = time.process_time()
    draft = ImportDraft.objects.latest("pk")
    columns = reverse("catalogue:import_columns", args=[draft.pk])
    form = client.get(columns).context["form"]
    client.post(columns, {bound.name: bound.value() for bound in form if bound.value() not in (None, False)})
    matched = time.process_time()
    answer = client.get(reverse("catalogue:import_preview", args=[draft.pk]))
    content = b"".join(answer) if answer.streaming else answer.content
    assert b"4999 rows read" in content
    done = time.process_time()
    print(f"{1000 * (sent - start):8.1f} ms  5,000 lines sent; {1000 * (matched - sent):.1f} ms matched; "
          f"{1000 * (done - matched):.1f} ms looked through")  # fmt: skip


def workbook():
    """A workbook of 5,000 lines with a link behind each name, read into rows."""
    import io

    from openpyxl import Workbook

    from parts.catalogue.files import read_file

    book, held = Workbook(), io.BytesIO()
    book.active.append(["Name", "Kind", "Maker", "Supplier", "Price", "Code", "Sections", "Section size", "Thickness"])
    for n in range(4999):
        book.active.append([f"Radiator {n}", "radiator", f"M{n % 9}", f"Sup {n % 7}", 20 + n % 90, f"C-{n}", 1 + n % 4,
                            "120 mm", 20 + n % 45])  # fmt: skip
        book.active.cell(n + 2, 1).hyperlink = f"https://shop.example/{n}"
    book.save(held)
    assert len(read_file(held.getvalue())[0].links) == 4999
    print(f"{least(lambda: read_file(held.getvalue()), rounds=2):8.1f} ms  a workbook of 5,000 linked lines read")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
