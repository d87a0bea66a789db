"""Spec, loop and checks in a real browser: buttons by HTMX, the dials, axe's rules, room on a small phone."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.test import Client
from playwright.sync_api import expect

from builds.checks.lessons import SoakLesson
from builds.specs.models import Role
from builds.specs.thermal import loop_document
from tests.factories import PartFactory

from .rows import PARTS, machine
from .test_cables import made

pytestmark = [pytest.mark.browser, pytest.mark.django_db]


@pytest.fixture
def spec(db, owner):
    spec = machine(**{"front radiator": {"thickness": 60.0}})
    reading = {"loop": loop_document(spec.loops.get()), "coolant": 32.0, "node": "", "parts": {"processor block": 45.0}}
    SoakLesson.objects.teach(spec.job, [reading], owner)
    made(spec, owner)
    return spec


@pytest.fixture
def bench(page, live_server, owner):
    """The page of somebody signed in; `bench.complaints` collects what the browser objects to."""
    client = Client()
    client.force_login(owner)
    cookie = client.cookies["sessionid"].value
    page.context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
    page.complaints = []
    page.on("console", lambda said: page.complaints.append(said.text) if said.type in {"error", "warning"} else None)
    page.on("pageerror", lambda error: page.complaints.append(str(error)))
    return page


def addresses(live_server, spec):
    radiator = Role.objects.get(job=spec.job, name="front radiator")
    job, loop = f"{live_server.url}/jobs/{spec.job}", spec.loops.get().pk
    return {
        "spec": f"{job}/spec/", "role": f"{job}/spec/roles/{radiator.pk}/", "loop": f"{job}/loop/",
        "order": f"{job}/loop/order/", "step": f"{job}/loop/{loop}/{radiator.pk}/", "tube": f"{job}/loop/{loop}/",
        "learning": f"{live_server.url}/workshop/learning/",
        "checks": f"{job}/checks/", "take": f"{job}/spec/take/", "filling": f"{job}/loop/{loop}/filling/",
        "runs": f"{job}/loop/{loop}/runs/", "cables": f"{job}/cables/",
        "cable": f"{job}/cables/{spec.cables.get().pk}/", "pins": f"{job}/cables/{spec.cables.get().pk}/pins/",
    }  # fmt: skip


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_every_page_is_clear_to_everybody(bench, live_server, spec, theme):
    bench.emulate_media(color_scheme=theme)
    found = {}
    for name, url in addresses(live_server, spec).items():
        bench.goto(url)
        wrong = Axe().run(bench).response["violations"]
        found |= {name: [(v["id"], [n["html"][:120] for n in v["nodes"]]) for v in wrong]} if wrong else {}
    assert found == {}
    assert bench.complaints == []


@pytest.mark.parametrize("width", [360, 390, 1280])
def test_nothing_scrolls_sideways(bench, live_server, spec, width):
    bench.set_viewport_size({"width": width, "height": 740})
    for name, url in addresses(live_server, spec).items():
        bench.goto(url)
        assert bench.evaluate("document.documentElement.scrollWidth") <= width, name


def test_turning_a_dial_answers_in_place(bench, live_server, spec):
    bench.goto(addresses(live_server, spec)["loop"])
    warm = bench.get_by_role("row", name="warmest coolant").get_by_role("cell").first
    before = warm.inner_text()
    bench.get_by_label("fans", exact=True).fill("40")
    expect(bench.get_by_text("Shown with the dials turned")).to_be_visible()
    assert warm.inner_text() > before
    assert bench.url.endswith("/loop/")
    assert bench.complaints == []


def test_a_dial_is_turned_by_the_keyboard(bench, live_server, spec):
    bench.goto(addresses(live_server, spec)["loop"])
    bench.get_by_label("heat of processor").focus()
    bench.keyboard.press("ArrowRight")
    expect(bench.get_by_role("row", name="processor block").first).to_contain_text("121 W")
    assert bench.complaints == []


def test_a_component_moves_by_button_and_keyboard(bench, live_server, spec):
    bench.goto(addresses(live_server, spec)["order"])
    bench.get_by_role("button", name="pump: later").focus()
    bench.keyboard.press("Enter")
    expect(bench.locator(".order > li").nth(1)).to_contain_text("Saltmarsh pump")
    bench.keyboard.press("Enter")
    expect(bench.locator(".order > li").nth(2)).to_contain_text("Saltmarsh pump")
    assert bench.complaints == []


def test_the_catalogue_answers_as_one_types(bench, live_server, spec):
    radiator = PARTS["front radiator"][2]
    PartFactory(kind="radiator", name="Slim one", facts={**radiator, "thickness": 28.0})
    bench.goto(addresses(live_server, spec)["role"])
    bench.get_by_label("Find by words").press_sequentially("slim")
    expect(bench.locator(".candidates > li")).to_have_count(1)
    expect(bench.locator(".candidates")).to_contain_text(re.compile("fits"))
    bench.get_by_role("button", name="Choose Slim one").click()
    expect(bench.get_by_text("Slim one is the front radiator now.")).to_be_visible()
    assert bench.complaints == []


def test_a_role_moves_without_leaving_the_page(bench, live_server, spec):
    bench.goto(addresses(live_server, spec)["spec"])
    bench.get_by_role("button", name="main board: up").click()
    expect(bench.locator(".spec tbody th").first).to_contain_text("main board")
    bench.get_by_role("button", name="main board: down").click()
    expect(bench.locator(".spec tbody th").first).to_contain_text("case")
    assert bench.complaints == []
