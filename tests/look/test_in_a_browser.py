"""What only a browser can tell: axe's rules, room on a small phone, how wide words really are."""

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings

from builds.plots.chart import Axis, Line, Moment, chart
from builds.plots.loop_drawing import loop_drawing
from builds.plots.svg import text_width
from tests.plots.test_loop_drawing import LEGEND, loop_of

pytestmark = [pytest.mark.browser, pytest.mark.django_db]
THEMES = ["light", "dark"]
MEASURED = """() => [...document.querySelectorAll("svg text")].map(e => {
  const b = e.getBBox(); return [e.textContent, b.x, b.y, b.x + b.width, b.y + b.height]; })"""


def faults(page):
    return [(v["id"], [n["html"] for n in v["nodes"]]) for v in Axe().run(page).response["violations"]]


@pytest.fixture
def signed_in(page, live_server, owner):
    from django.test import Client

    client = Client()
    client.force_login(owner)
    cookie = client.cookies["sessionid"].value
    page.context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
    return page


@pytest.mark.parametrize("theme", THEMES)
def test_sign_in_page(page, live_server, theme):
    page.emulate_media(color_scheme=theme)
    page.goto(f"{live_server.url}/login/")
    page.get_by_label("Username").fill("nobody")
    page.get_by_label("Password").fill("no such word")
    page.get_by_role("button", name="Sign in").click()
    assert page.get_by_role("alert").is_visible()
    assert faults(page) == []


@pytest.mark.parametrize("theme", THEMES)
def test_frame_of_a_page(signed_in, live_server, theme):
    signed_in.emulate_media(color_scheme=theme)
    signed_in.goto(f"{live_server.url}/no/such/page/")
    assert faults(signed_in) == []


def test_places_do_not_shrink_into_each_other_under_a_thumb(browser, live_server, owner):
    """On a touch screen the row scrolls; its words keep their room."""
    from django.test import Client

    client = Client()
    client.force_login(owner)
    phone = browser.new_context(viewport={"width": 390, "height": 800}, has_touch=True, is_mobile=True)
    cookie = client.cookies["sessionid"].value
    phone.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
    page = phone.new_page()
    page.goto(live_server.url)
    squeezed = "links => links.filter(a => a.scrollWidth > a.clientWidth).map(a => a.textContent)"
    assert page.locator(".places a").count() > 6
    assert page.locator(".places a").evaluate_all(squeezed) == []
    phone.close()


def test_content_security_policy_is_kept(page, live_server):
    complaints = []
    page.on("console", lambda message: complaints.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.goto(f"{live_server.url}/login/")
    assert page.evaluate("htmx.config.allowEval") is False
    assert complaints == []


@pytest.mark.parametrize("width", [360, 390, 1280])
def test_no_sideways_scroll(signed_in, live_server, width):
    signed_in.set_viewport_size({"width": width, "height": 740})
    signed_in.goto(f"{live_server.url}/no/such/page/")
    assert signed_in.evaluate("document.documentElement.scrollWidth") <= width


def test_first_stop_of_the_keyboard_leads_past_the_places(signed_in, live_server):
    signed_in.goto(f"{live_server.url}/no/such/page/")
    signed_in.keyboard.press("Tab")
    assert signed_in.evaluate("document.activeElement.className") == "skip"
    signed_in.keyboard.press("Enter")
    assert signed_in.evaluate("document.activeElement.id") == "main"


def drawn(page, *pictures):
    css = "".join((Path(settings.BASE_DIR) / "static" / name).read_text() for name in ("book.css", "pictures.css"))
    page.set_content(f"<style>{css}</style>" + "".join(f"<div>{picture}</div>" for picture in pictures))
    return page.evaluate(MEASURED)


@pytest.mark.parametrize("narrow", [False, True])
def test_labels_are_no_wider_than_reckoned(page, narrow):
    svg = loop_drawing(loop_of(7), "a loop", legend=LEGEND, narrow=narrow)
    for text, left, _top, right, _bottom in drawn(page, svg):
        head = bool(page.locator("svg text.head", has_text=text).count())
        size = 16 if head else 13
        assert right - left <= text_width(text, size, head) * 1.02, text


def test_no_two_labels_touch_as_drawn(page):
    line = Line(((40, 22), (100, 11)), "coolant over room")
    second = Line(((40, 14), (100, 34)), "sound at 1 m", second=True)
    axes = Axis("fan speed, %"), Axis("coolant over room, K"), Axis("sound, dB(A)")
    for svg in (loop_drawing(loop_of(14), "a loop"), chart("t", [line, second, Moment(62, "now")], *axes)):
        found = [(text, x + 1, y + 3, right - 1, bottom - 3) for text, x, y, right, bottom in drawn(page, svg)]
        pairs = [(a, b) for i, a in enumerate(found) for b in found[i + 1 :]]
        assert not [(a, b) for a, b in pairs if a[1] < b[3] and b[1] < a[3] and a[2] < b[4] and b[2] < a[4]]
