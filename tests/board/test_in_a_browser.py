"""The board, today, the plan and the clock in a real browser: quick with HTMX, whole without JavaScript."""

import io

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.test import Client
from PIL import Image
from playwright.sync_api import expect

from builds.jobs.models import Job
from builds.journal.models import JournalEntry
from builds.labour.models import HoursEntry
from parts.shelf.models import Unit
from tests.board.scenes import Scene
from tests.factories import PersonFactory

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PAGES = [
    "/",
    "/today/",
    "/clock/",
    "/hours/",
    "/hours/add/",
    "/jobs/J-0041/plan/",
    "/jobs/J-0041/plan/?arrange=1",
    "/rates/",
    "/workshop/bench/",
    "/jobs/J-0041/journal/",
]


@pytest.fixture
def bench():
    """A workshop with three jobs; the first one's Rinse task has all its parts."""
    scene = Scene(parts=6)
    for number, promise in ((41, 3), (42, 60), (43, None)):
        scene.job(number, promise=promise, title="Quiet machine" if number == 41 else "Other machine")
    Unit.objects.create(part=scene.parts[0], serial="ZX-17", tray=Job.objects.get(number=42).tray)
    return scene


@pytest.fixture
def person():
    return PersonFactory(username="wright", role="owner")


def open_as(person, context, live_server):
    client = Client()
    client.force_login(person)
    value = client.cookies["sessionid"].value
    context.add_cookies([{"name": "sessionid", "value": value, "url": live_server.url}])
    return context.new_page()


@pytest.fixture
def desk(person, context, live_server):
    return open_as(person, context, live_server)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_axe_finds_nothing_and_a_small_phone_shows_all(bench, desk, live_server, theme):
    desk.emulate_media(color_scheme=theme)
    task = Job.objects.get(number=41).tasks.all()[3]
    for address in [*PAGES, f"/tasks/{task.pk}/"]:
        desk.set_viewport_size({"width": 1280, "height": 900})
        desk.goto(live_server.url + address)
        found = Axe().run(desk).response["violations"]
        assert [(v["id"], [n["html"] for n in v["nodes"]]) for v in found] == [], address
        desk.set_viewport_size({"width": 360, "height": 740})
        assert desk.evaluate("document.documentElement.scrollWidth") <= 360, address


def test_the_board_answers_as_one_types(bench, desk, live_server):
    desk.goto(live_server.url)
    lines = desk.locator(".job")
    assert lines.count() == 3
    desk.get_by_label("Find a job").press_sequentially("zx-17")
    expect(lines).to_have_count(1)
    assert "J-0042" in lines.first.inner_text()
    assert desk.url.endswith("?q=zx-17")
    desk.get_by_label("Find a job").fill("")
    expect(lines).to_have_count(3)


def test_two_presses_from_the_board_start_a_clock_and_the_page_stays(bench, desk, live_server):
    desk.goto(live_server.url + "/jobs/J-0041/plan/")
    desk.evaluate("window.stays = true")
    desk.get_by_role("button", name="Start clock: Rinse 2").click()
    stop = desk.get_by_role("banner").get_by_role("button", name="Stop")
    stop.wait_for()
    assert desk.evaluate("window.stays"), "HTMX changed the page in place"
    assert HoursEntry.objects.running().get().task.name == "Rinse 2"
    desk.get_by_role("button", name="Done: Rinse 2").click()
    desk.get_by_role("button", name="Undo: Rinse 2").wait_for()
    assert not HoursEntry.objects.running().exists()


class Thumb:
    """A phone's page and how often it was tapped."""

    def __init__(self, page):
        page.set_viewport_size({"width": 390, "height": 844})
        self.page, self.taps = page, 0

    def tap(self, what):
        expect(what).to_be_in_viewport()
        assert what.bounding_box()["height"] >= 44
        what.click()
        self.taps += 1


ANYWHERE = [
    "/", "/today/", "/hours/", "/workshop/bench/", "/orders/", "/shelf/", "/catalogue/",
    *(f"/jobs/J-0042/{sheet}" for sheet in ("", "spec/", "plan/", "journal/", "proving/", "handover/")),
]  # fmt: skip


def test_two_taps_start_a_clock_from_anywhere_on_a_phone_and_two_stop_it(bench, desk, live_server):
    for address in ANYWHERE:
        thumb = Thumb(desk)
        assert desk.goto(live_server.url + address).status == 200, address
        thumb.tap(desk.get_by_role("banner").get_by_role("link", name="Start the clock"))
        thumb.tap(desk.locator(".bigs button").first)
        expect(desk.get_by_role("button", name="Stop")).to_be_visible()
        assert thumb.taps == 2
        assert HoursEntry.objects.running().count() == 1, address
        desk.goto(live_server.url + address)
        thumb.tap(desk.get_by_role("banner").get_by_role("button", name="Stop"))
        expect(desk.get_by_role("banner").get_by_role("link", name="Start the clock")).to_be_visible()
        assert thumb.taps == 3, "one tap stops it"
        assert not HoursEntry.objects.running().exists(), address


def test_three_taps_add_a_photo_from_anywhere_while_a_clock_runs(bench, desk, person, live_server, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    task = Job.objects.get(number=41).tasks.get(name="Rinse 2")
    HoursEntry.start(task, person)
    held = io.BytesIO()
    Image.new("RGB", (900, 600), (40, 90, 80)).save(held, "JPEG")
    thumb = Thumb(desk)
    desk.goto(live_server.url + "/orders/")
    thumb.tap(desk.get_by_role("banner").get_by_role("link", name="J-0041 Rinse 2"))
    with desk.expect_file_chooser() as chosen:
        thumb.tap(desk.get_by_label("Photos for the journal"))
    chosen.value.set_files([{"name": "bench.jpg", "mimeType": "image/jpeg", "buffer": held.getvalue()}])
    thumb.tap(desk.get_by_role("button", name="Write down"))
    expect(desk.locator(".photos img")).to_have_count(1)
    assert thumb.taps == 3
    entry = JournalEntry.objects.get()
    assert (entry.task, entry.person, entry.photos.count()) == (task, person, 1)


def test_the_same_without_javascript(bench, person, browser, live_server):
    context = browser.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = open_as(person, context, live_server)
    page.goto(live_server.url)
    page.get_by_label("Find a job").fill("quiet")
    page.get_by_role("button", name="Find").click()
    assert page.locator(".job").count() == 1
    page.get_by_role("link", name="Quiet machine 41").click()
    page.goto(live_server.url + "/clock/")
    page.get_by_role("button", name="Rinse 2").first.click()
    assert page.get_by_role("heading", name="The clock runs").count() == 1
    page.get_by_role("button", name="Stop").click()
    assert "on “Rinse 2”" in page.locator("#words").inner_text()
    context.close()


def test_a_phone_shows_a_job_in_four_lines(bench, desk, live_server):
    desk.set_viewport_size({"width": 390, "height": 844})
    desk.goto(live_server.url)
    tops = desk.evaluate(
        """() => [...document.querySelectorAll('.job')].map(job => {
          const parts = 'h2, .stage small, .next span, .next small, .hours span, .money, .date';
          const words = [...job.querySelectorAll(parts)];
          const lines = words.filter(e => e.offsetHeight && e.innerText.trim()).map(e => {
            const box = e.getBoundingClientRect(); return Math.round((box.top + box.bottom) / 20); });
          return new Set(lines).size; })"""
    )
    assert tops
    assert max(tops) <= 4
