"""The catalogue and the reading in of a list in a real browser: on a small phone, by hand, as axe sees it."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.test import Client
from django.urls import reverse
from playwright.sync_api import expect

from parts.catalogue.drafts import ImportDraft
from parts.catalogue.models import Part
from tests.factories import PartFactory, SupplierPriceFactory
from tests.workshop.test_photos import picture

pytestmark = [pytest.mark.browser, pytest.mark.django_db]
LIST = "Name;Kind;Supplier;Price;Thickness (mm)\nSlim;gizmo;Tidewater;70;30\nDeep;radiator;Tidewater;90;300\n"


@pytest.fixture
def bench(page, live_server, owner):
    """The page of somebody signed in, on the smallest phone."""
    client = Client()
    client.force_login(owner)
    cookie = client.cookies["sessionid"].value
    page.context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
    page.set_viewport_size({"width": 360, "height": 780})
    return page


@pytest.fixture
def radiators(db):
    facts = {"sections": 3.0, "section_size": 120.0}
    parts = [
        PartFactory(kind="radiator", name=name, facts={**facts, "thickness": deep})
        for name, deep in (("Slim three", 30.0), ("Deep three", 60.0))
    ]
    for part in parts:
        SupplierPriceFactory(part=part, carriage_class="bulky")
    return parts


def sent(bench, live_server, text, name="list.csv"):
    bench.goto(live_server.url + reverse("catalogue:import"))
    bench.set_input_files("[name=file]", {"name": name, "mimeType": "text/csv", "buffer": text.encode()})
    bench.get_by_role("button", name="Read it").click()
    bench.get_by_role("button", name="Look through the rows").click()


def test_a_list_is_put_right_and_saved_on_a_phone(bench, live_server):
    sent(bench, live_server, LIST)
    bench.get_by_label("row 2, column B: kind").select_option("radiator")
    bench.get_by_label("row 3, column E: thickness").fill("60 mm")
    bench.get_by_role("button", name="Check again").click()
    bench.get_by_role("button", name="Save all 2 rows").click()
    expect(bench.get_by_text("2 rows were saved.")).to_be_visible()
    assert {part.name: part.fact("thickness") for part in Part.objects.with_facts()} == {"Slim": 30.0, "Deep": 60.0}


def test_a_long_list_leaves_only_its_rows_on_the_page(bench, live_server):
    sent(bench, live_server, "Name;Kind\n" + "".join(f"Fan {n};fan\n" for n in range(1500)))
    expect(bench.get_by_text("1500 rows read")).to_be_visible()
    assert bench.locator(".checking").count() == 3
    assert not bench.locator(".checking:visible").count()


def test_a_photo_is_put_to_a_part(bench, live_server, radiators):
    bench.goto(live_server.url + reverse("catalogue:part", args=[radiators[0].pk]))
    bench.get_by_role("link", name="Add a photo").click()
    bench.set_input_files("[name=photo]", {"name": "a.png", "mimeType": "image/png", "buffer": picture("PNG")})
    bench.get_by_role("button", name="Save").click()
    shown = bench.get_by_role("img", name="photo of Slim three")
    expect(shown).to_be_visible()
    assert shown.evaluate("image => image.complete && image.naturalWidth > 0")


def test_facts_narrow_the_list_while_they_are_typed(bench, live_server, radiators):
    bench.goto(f"{live_server.url}{reverse('catalogue:list')}?kind=radiator")
    bench.get_by_text("narrow by the facts of a radiator").click()
    bench.get_by_role("group", name="Thickness").get_by_label("at most").fill("45 mm")
    bench.get_by_role("button", name="Find").click()
    expect(bench.get_by_role("link", name="Deep three")).to_have_count(0)
    expect(bench.get_by_role("link", name="Slim three")).to_be_visible()


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_every_page_is_clear_to_everybody_and_none_is_too_wide(bench, live_server, radiators, theme):
    bench.emulate_media(color_scheme=theme)
    sent(bench, live_server, LIST)
    one, two = (part.pk for part in radiators)
    draft = ImportDraft.objects.latest("pk").pk
    pages = [
        reverse("catalogue:list"), f"{reverse('catalogue:list')}?kind=radiator&f_thickness_lte=45",
        reverse("catalogue:part", args=[one]), reverse("catalogue:edit", args=[one]),
        reverse("catalogue:photo", args=[one]), f"{reverse('catalogue:compare')}?part={one}&part={two}",
        reverse("catalogue:import"), reverse("catalogue:import_columns", args=[draft]),
        reverse("catalogue:import_preview", args=[draft]), reverse("suppliers:add_price", args=[one]),
        reverse("suppliers:supplier", args=[radiators[0].prices.get().supplier_id]),
    ]  # fmt: skip
    wrong = {}
    for page in pages:
        bench.goto(live_server.url + page)
        bench.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
        found = [rule["id"] for rule in Axe().run(bench).response["violations"]]
        if bench.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth"):
            found.append("wider than the phone")
        if found:
            wrong[page] = found
    assert wrong == {}
