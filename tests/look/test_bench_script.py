"""The little that the page's own script does, each as an extra to what works without it."""

from pathlib import Path

import pytest
from django.conf import settings

pytestmark = pytest.mark.browser
PAGE = """<body data-not-through="That did not get through."><div id="words"></div>
<time id="clock" data-since="{since}">1 hour</time>
<div class="stepper"><button type="button" data-step="-1" hidden>less</button>
<input type="number" value="1" min="0"><button type="button" data-step="1" hidden>more</button></div>
<input type="range" id="fans" value="62" max="100"><output for="fans" data-behind=" %">62 %</output></body>"""


@pytest.fixture
def bench(page):
    since = page.evaluate("new Date(Date.now() - 102 * 60000).toISOString()")
    page.set_content(PAGE.format(since=since))
    page.add_script_tag(path=Path(settings.BASE_DIR) / "static" / "bench.js")
    return page


def test_running_clock_tells_hours_and_minutes(bench):
    assert bench.locator("#clock").text_content() == "1:42"


def test_count_steps_up_and_down_but_not_below_its_least(bench):
    count = bench.locator("input[type=number]")
    bench.get_by_role("button", name="more").click()
    assert count.input_value() == "2"
    for _press in range(3):
        bench.get_by_role("button", name="less").click()
    assert count.input_value() == "0"


def test_slider_tells_its_value(bench):
    bench.locator("#fans").press("ArrowRight")
    assert bench.locator("output").text_content() == "63 %"


def test_a_lost_connection_is_said_once(bench):
    for _time in range(2):
        bench.evaluate("document.body.dispatchEvent(new CustomEvent('htmx:sendError', {bubbles: true}))")
    assert bench.get_by_role("alert").all_text_contents() == ["That did not get through."]
