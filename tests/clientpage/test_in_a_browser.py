"""The client's page in a real browser: axe's rules, small phones, and an acceptance with one thumb."""

import pytest
from axe_playwright_python.sync_playwright import Axe

from builds.quotes.models import Quote
from tests.quotes.conftest import put
from tests.quotes.test_bills import bill, stages_of

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
WIDE = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"


@pytest.fixture
def screen(context):
    """A page of the browser; `page` is the address of the client's page in this room."""
    return context.new_page()


def opened(screen, live_server, address, theme, width):
    screen.set_viewport_size({"width": width, "height": 844})
    screen.emulate_media(color_scheme=theme)
    screen.goto(live_server.url + address)
    return screen


def faults(page):
    return [(v["id"], [n["html"] for n in v["nodes"]]) for v in Axe().run(page).response["violations"]]


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 390, 1280])
def test_an_offer_reads_for_everybody_on_any_screen(screen, live_server, page, sent, theme, width):
    shown = opened(screen, live_server, page, theme, width)
    assert shown.get_by_role("heading", name="A quote for you to decide").is_visible()
    for more in shown.locator("details > summary").all():
        more.click()
    assert faults(shown) == []
    assert shown.evaluate(WIDE) == 0


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_so_does_an_agreed_job_with_a_change_to_decide(screen, live_server, page, agreed, spec, job, owner, theme):
    bill(stages_of(job)[0], owner)
    made = spec.copy(owner)
    put(made, "valve", "4.00")
    Quote.vary(job, made, owner).send(owner)
    shown = opened(screen, live_server, page, theme, 390)
    assert shown.get_by_role("heading", name="A change for you to decide").is_visible()
    assert faults(shown) == []
    assert shown.evaluate(WIDE) == 0


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_link_that_leads_nowhere_says_so_readably(screen, live_server, db, theme):
    shown = opened(screen, live_server, "/c/no-such-link/", theme, 390)
    assert faults(shown) == []


def test_he_accepts_with_name_and_tick_and_it_is_agreed(screen, live_server, page, sent):
    shown = opened(screen, live_server, page, "light", 390)
    button = shown.get_by_role("button", name="Accept the quote")
    assert button.bounding_box()["height"] >= 44
    shown.get_by_label("name").first.fill("T. Oyelaran")
    shown.locator("input[type=checkbox]").first.check()
    button.click()
    shown.wait_for_load_state()
    sent.refresh_from_db()
    assert sent.state == "accepted"
    assert sent.decided_by == "T. Oyelaran"
