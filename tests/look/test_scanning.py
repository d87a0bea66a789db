"""The camera beside a field: offered where the browser reads codes, and only there; typing works always."""

from pathlib import Path

import pytest
from django.conf import settings

pytestmark = pytest.mark.browser
PAGE = """<form><label>place <input id="place" data-scan="Scan" data-scan-stop="Stop" data-scan-no="type it">
</label><textarea id="serials" data-scan="Scan" data-scan-adds>A1</textarea></form>"""
# Stand-ins for what a phone has: a camera (a drawn picture) and a reader that sees one code.
READER = """window.BarcodeDetector = class { static async getSupportedFormats() { return ["qr_code"]; }
  async detect() { return [{ rawValue: 'https://x/shelf/at/place/3/' }]; } };"""
READS_NOTHING = "window.BarcodeDetector = class { static async getSupportedFormats() { return []; } };"
CAMERA = """Object.defineProperty(navigator, "mediaDevices", { value: { getUserMedia: async () => {
  const drawn = document.createElement("canvas"); drawn.getContext("2d"); return drawn.captureStream(5); } } });"""
NO_CAMERA = """Object.defineProperty(navigator, "mediaDevices", { value: { getUserMedia: async () => {
  throw new Error("denied"); } } });"""


def opened(page, *stand_ins):
    page.set_content(PAGE)
    for script in stand_ins:
        page.evaluate(f"() => {{ {script} }}")
    page.add_script_tag(path=Path(settings.BASE_DIR) / "static" / "scan.js")
    return page


@pytest.mark.parametrize("browser_has", ["delete window.BarcodeDetector", READS_NOTHING])
def test_a_browser_that_reads_no_codes_shows_no_button(page, browser_has):
    opened(page, browser_has)
    page.wait_for_timeout(50)
    assert page.get_by_role("button").count() == 0


def test_a_scanned_code_fills_its_field(page):
    opened(page, READER, CAMERA)
    page.get_by_role("button", name="Scan").first.click()
    page.wait_for_function("document.getElementById('place').value")
    assert page.locator("#place").input_value() == "https://x/shelf/at/place/3/"
    assert page.locator("dialog").count() == 0


def test_serial_numbers_are_added_line_by_line(page):
    opened(page, READER, CAMERA)
    page.get_by_role("button", name="Scan").last.click()
    page.wait_for_function("document.getElementById('serials').value.includes('shelf')")
    assert page.locator("#serials").input_value() == "A1\nhttps://x/shelf/at/place/3/"


def test_without_a_camera_one_is_told_to_type(page):
    opened(page, READER, NO_CAMERA)
    page.get_by_role("button", name="Scan").first.click()
    page.wait_for_function("document.getElementById('place').placeholder")
    assert page.locator("#place").get_attribute("placeholder") == "type it"
    page.keyboard.type("box 3")
    assert page.locator("#place").input_value() == "box 3"
