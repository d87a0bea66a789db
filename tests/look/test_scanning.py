"""The camera beside a field: offered where the browser reads codes, and only there; typing works always.

Chromium on a desk reads no codes, so the reader is a stand-in here: a word that it finds at once, or zxing-cpp, given
the very frames that the page took from the camera.
"""

import base64
import io
import subprocess
from pathlib import Path

import pytest
import zxingcpp
from django.conf import settings
from django.test import Client
from PIL import Image

from builds.sheets.labels import labels_pdf
from parts.orders.models import Order
from tests.factories import PartFactory, PlaceFactory, SupplierFactory

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


FRAMES = """window.BarcodeDetector = class {
  static async getSupportedFormats() { return ["qr_code"]; }
  async detect(video) {
    const frame = document.createElement("canvas");
    [frame.width, frame.height] = [video.videoWidth, video.videoHeight];
    if (!frame.width) return [];
    frame.getContext("2d").drawImage(video, 0, 0);
    return (await window.read(frame.toDataURL())).map((rawValue) => ({ rawValue }));
  }
};"""


def read(address):
    """The codes on a picture given as a data address, as zxing-cpp reads them."""
    with Image.open(io.BytesIO(base64.b64decode(address.partition(",")[2]))) as frame:
        return [code.text for code in zxingcpp.read_barcodes(frame.convert("L"))]


def filmed(pdf, folder):
    """A film of a printed sheet's upper left corner, as a phone held over it would take it: MJPEG, 640 × 480."""
    (folder / "labels.pdf").write_bytes(pdf)
    subprocess.run(["pdftoppm", "-r", "100", "-png", "-singlefile", "labels.pdf", "sheet"], cwd=folder, check=True)
    with Image.open(folder / "sheet.png") as sheet:
        frame = io.BytesIO()
        sheet.convert("RGB").crop((0, 0, 480, 360)).rotate(7, fillcolor="white").resize((640, 480)).save(frame, "JPEG")
    film = folder / "film.mjpeg"
    film.write_bytes(frame.getvalue() * 10)
    return film


@pytest.mark.django_db
def test_a_printed_label_before_the_camera_says_where_a_delivery_goes(
    browser_type, browser_type_launch_args, live_server, helper, owner, tmp_path
):
    box, order = PlaceFactory(name="box 3"), Order.draft(SupplierFactory(), owner)
    line = order.add_line(PartFactory(), 2, 10, owner)
    order.place(owner)
    film = filmed(labels_pdf([box], [], live_server.url), tmp_path)
    camera = ["--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream"]
    args = [*browser_type_launch_args["args"], *camera, f"--use-file-for-fake-video-capture={film}"]
    browser = browser_type.launch(**{**browser_type_launch_args, "args": args})
    try:
        page = browser.new_page(viewport={"width": 390, "height": 844})
        client = Client()
        client.force_login(helper)
        cookie = client.cookies["sessionid"].value
        page.context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
        page.expose_function("read", read)
        page.add_init_script(FRAMES)
        page.goto(f"{live_server.url}/orders/{order}/receive/")
        page.get_by_role("button", name="Scan").first.click()
        page.wait_for_url("**/receive/?place=*")
        assert page.get_by_label("everything goes to").input_value() == "box 3"
        page.get_by_role("button", name="Take in").click()
        page.get_by_text("Taken in: 2, good.").wait_for()
    finally:
        browser.close()
    assert line.part.stock.get().place == box
