"""Labels read back by a decoder of somebody else's from the printed page."""

import subprocess
from urllib.parse import unquote

import pytest
import zxingcpp
from django.utils import timezone
from PIL import Image

from builds.sheets.labels import code, labels_pdf
from parts.orders.models import Arrival, Order
from parts.shelf import labels
from parts.shelf.models import Place, Tray
from tests.factories import PartFactory, PlaceFactory, SupplierFactory, SupplierPriceFactory, once


def codes_on(pdf, folder):
    """What zxing-cpp reads on the pages of a PDF, printed at 200 dots an inch."""
    (folder / "labels.pdf").write_bytes(pdf)
    subprocess.run(["pdftoppm", "-r", "200", "-png", "labels.pdf", "page"], cwd=folder, check=True)
    found = []
    for page in sorted(folder.glob("page*.png")):
        with Image.open(page) as picture:
            found += [(one.text, one.format.name) for one in zxingcpp.read_barcodes(picture)]
    return found


def test_every_printed_label_reads_back_as_its_address(db, tmp_path):
    places = [PlaceFactory(name=f"box {n}") for n in range(30)]
    trays = [Tray.free_shelf(), Tray.objects.create(name="J-0042")]
    pdf = labels_pdf(places, trays, "https://bench.example/")
    read = codes_on(pdf, tmp_path)
    wanted = {("place", place.pk) for place in places} | {("tray", tray.pk) for tray in trays}
    assert {labels.read(text) for text, _form in read} == wanted
    assert len(read) == 32
    assert all(text.startswith("https://bench.example/shelf/at/") for text, _form in read)
    assert {form for _text, form in read} == {"QRCode"}


def test_a_code_keeps_its_quiet_zone():
    # ISO/IEC 18004: four modules of white on every side (from memory); this text makes version 3, 29 modules wide.
    text = unquote(code("https://bench.example/shelf/at/place/1/"))
    assert "width='148' height='148'" in text  # (29 + 2 * 4) modules of 4 units


def test_labels_are_chosen_and_printed(helper_client, tmp_path):
    box = PlaceFactory(name="box 3")
    assert "box 3" in helper_client.get("/documents/labels/").content.decode()
    answer = helper_client.get(f"/documents/labels/?place={box.pk}&place=x&tray=99999")
    assert answer["Content-Type"] == "application/pdf"
    (read,) = codes_on(answer.content, tmp_path)
    assert labels.read(read[0]) == ("place", box.pk)


def test_a_label_leads_to_what_lies_there(helper_client):
    box, tray = PlaceFactory(name="box 3"), Tray.objects.create(name="J-0042")
    assert helper_client.get(f"/shelf/at/place/{box.pk}/").url == "/shelf/?place=box+3"
    assert helper_client.get(f"/shelf/at/tray/{tray.pk}/").url == "/shelf/?tray=J-0042"
    assert helper_client.get("/shelf/at/place/999/").status_code == 404
    assert helper_client.get("/shelf/at/shoe/1/").status_code == 404


@pytest.fixture
def ordered(owner):
    order = Order.draft(SupplierFactory(), owner)
    line = order.add_line(
        PartFactory(name="Pump"), 2, 10, owner, shares={Tray.objects.create(name="J-0042"): (2, None)}
    )
    order.place(owner)
    return line


def address(kind, row):
    return f"https://bench.example/shelf/at/{kind}/{row.pk}/"


def test_a_scanned_place_is_where_the_goods_go(helper_client, ordered):
    box = PlaceFactory(name="box 3")
    sent = once(quantity="1", condition="good", place=address("place", box))
    helper_client.post(f"/orders/{ordered.order}/receive/{ordered.pk}/", sent)
    assert Arrival.objects.get().moves.get().target.place == box
    assert list(Place.objects.values_list("name", flat=True)) == ["box 3"]
    page = helper_client.get(f"/orders/{ordered.order}/receive/", {"place": address("place", box)})
    assert 'value="box 3"' in page.content.decode()


@pytest.mark.parametrize("of", ["tray", "nothing"])
def test_a_label_of_something_else_is_refused_at_its_field(helper_client, ordered, of):
    tray = Tray.free_shelf()
    scanned = address("tray", tray) if of == "tray" else "https://bench.example/shelf/at/place/999/"
    sent = once(quantity="1", condition="good", place=scanned)
    answer = helper_client.post(f"/orders/{ordered.order}/receive/{ordered.pk}/", sent)
    assert "belongs to something else" in answer.content.decode()
    assert not Arrival.objects.exists()


def test_a_scanned_tray_finds_the_orders_for_it(helper_client, owner, ordered):
    other = Order.draft(SupplierFactory(), owner)
    other.add_line(PartFactory(), 1, 1, owner)
    other.place(owner)
    tray = Tray.objects.get(name="J-0042")
    page = helper_client.get("/orders/goods-in/", {"q": address("tray", tray)}).content.decode()
    assert str(ordered.order) in page
    assert str(other) not in page


def test_the_suppliers_own_code_finds_its_order_and_an_unknown_one_says_so(helper_client, ordered):
    SupplierPriceFactory(
        part=ordered.part, supplier=ordered.order.supplier, code="P-77/3", seen_on=timezone.localdate()
    )
    assert str(ordered.order) in helper_client.get("/orders/goods-in/", {"q": "p-77/3"}).content.decode()
    assert "No open order matches" in helper_client.get("/orders/goods-in/", {"q": "4006381333931"}).content.decode()
